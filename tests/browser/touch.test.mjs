// A narrow screen worked by finger: the drawer, two parts, a wire from tap to tap, pinch.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const NARROW = { size: { width: 390, height: 844 }, touch: true };

/** Takes a part type from the drawer and taps the board where it is to stand. */
async function placeByTap(driver, label, share) {
  const { page } = driver;
  const [parts, wires] = await driver.counts();
  await page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Shelf" }).tap();
  await driver.kind(label).tap();
  // The drawer has closed: the whole board is there.
  await driver.shelf.waitFor({ state: "hidden" });
  const { x, y } = await driver.at(share);
  await page.touchscreen.tap(x, y);
  await driver.hasCounts(parts + 1, wires);
}

test("two parts are placed from the drawer, wired by two taps, and the wire read", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  await placeByTap(driver, "Sun panel", [0.35, 0.25]);
  await placeByTap(driver, "Lamp", [0.65, 0.75]);
  for (const [name, port] of [["Sun panel", "out"], ["Lamp", "in"]]) {
    const { x, y } = await driver.portAt(name, port);
    await driver.page.touchscreen.tap(x, y);
  }
  await driver.hasWire("Sun panel", "out", "Lamp", "in");
  await driver.readsOnWire("Sun panel", "out", "2 / 9");

  const { x, y } = await driver.portAt("Lamp", "in");
  await driver.page.touchscreen.tap(x + 80, y);
  await driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Details" }).tap();
  await driver.details.getByRole("heading", { name: "Lamp", exact: true }).waitFor();
  await driver.readsInDetails("Runs on 2 u.");
  await visitor.leave();
});

test("nothing on the narrow page lies beside it, and what is to be tapped is large enough", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  for (const pane of ["Shelf", "Details", "Problems"]) {
    await driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: pane }).tap();
    const wide = await driver.page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= 390, `${pane} makes the page ${wide} px wide`);
    // WCAG 2.2, 2.5.8: 24 by 24.
    const small = await driver.page.evaluate(() => [...document.querySelectorAll("button, select, input:not([hidden])")]
      .map((e) => [e, e.getBoundingClientRect()])
      .filter(([e, box]) => box.width > 0 && e.checkVisibility() && (box.width < 24 || box.height < 24) && e.type !== "checkbox")
      .map(([e, box]) => `${e.textContent || e.id}: ${box.width} × ${box.height}`));
    assert.deepEqual(small, []);
  }
  await visitor.leave();
});

test("two fingers make the board larger", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  await placeByTap(driver, "Lamp", [0.5, 0.4]);
  const wide = async () => (await driver.card("Lamp").locator("rect.ground").boundingBox()).width;
  const before = await wide();
  const { x, y } = await driver.at([0.5, 0.4]);
  const touch = await visitor.context.newCDPSession(driver.page);
  const fingers = (apart) => [{ x: x - apart, y, id: 0 }, { x: x + apart, y, id: 1 }];
  await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: fingers(20) });
  for (const apart of [30, 40, 50]) {
    await touch.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: fingers(apart) });
  }
  await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  await expect(async () => assert.ok(await wide() > before * 1.8, `${before} became ${await wide()}`));
  await driver.hasCounts(1, 0);
  await visitor.leave();
});
