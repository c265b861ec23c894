// Copy and paste: parts with their wires from tab to tab, and whole plans and links as text.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function pasteText(driver, text) {
  await driver.page.bringToFront();
  await driver.page.evaluate((t) => navigator.clipboard.writeText(t), text);
  await driver.clickPaper();
  await driver.page.keyboard.press("Control+v");
}

/** Parts without their places: what a copy has in common with what it was copied from. */
const said = (board) => ({ parts: board.parts.map((part) => part.replace(/ at .*/, "")), wires: board.wires });

test("parts and the wires among them go by clipboard to another tab", async () => {
  const visitor = await station.visitor();
  const one = new PageDriver(await visitor.open());
  await one.buildDuskLamp();
  await one.setTime("Midnight");
  await one.readsOnWire("Battery", "out", "5 / 20");
  await one.clickPaper();
  await one.page.keyboard.press("Control+a");
  await one.page.keyboard.press("Control+c");
  await one.says(/^Copied 6 parts/);
  const whole = await one.read();

  const two = new PageDriver(await visitor.open());
  await two.newPlan();
  await two.page.bringToFront();
  await two.clickPaper();
  await two.page.keyboard.press("Control+v");
  await two.hasCounts(6, 6);
  await two.setTime("Midnight");
  await two.readsOnWire("Battery", "out", "5 / 20");
  assert.deepEqual(said(await two.read()), said(whole));
  await one.reads(whole);

  // Again: the copies stand beside, and one step takes them back.
  await two.clickPaper();
  await two.page.keyboard.press("Control+v");
  await two.hasCounts(12, 12);
  await two.page.keyboard.press("Control+z");
  await two.hasCounts(6, 6);
  await visitor.leave();
});

test("cut takes the parts away and paste brings them back", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Sun panel", [0.2, 0.3]);
  await driver.placePart("Lamp", [0.7, 0.3]);
  await driver.wire("Sun panel", "out", "Lamp", "in");
  await driver.choose("Lamp");
  await driver.page.keyboard.press("Control+x");
  await driver.hasCounts(1, 0);
  await driver.page.keyboard.press("Control+v");
  await driver.hasCounts(2, 0);
  await visitor.leave();
});

test("a plan's text, pasted, opens as another plan", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.3, 0.3]);
  await driver.setTitle("Mine");
  const plan = {
    format: "duskline/plan", version: 1, title: "Pasted", book: "outpost",
    parts: [{ id: "a", type: "sun-panel" }, { id: "b", type: "lamp" }],
    wires: [{ id: "w", from: "a.out", to: "b.in" }],
  };
  await pasteText(driver, JSON.stringify(plan));
  await driver.hasCounts(2, 1);
  await driver.openKept("Mine");
  await driver.hasCounts(1, 0);
  await visitor.leave();
});

test("a link, pasted, opens as another plan; other text changes nothing", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  const link = await driver.copyLink();
  await driver.newPlan();
  await pasteText(driver, link);
  await driver.hasCounts(6, 6);
  await pasteText(driver, "a shopping list: <b>lamps</b>");
  await driver.says(/holds no parts/);
  await driver.hasCounts(6, 6);
  await visitor.leave();
});

test("a damaged plan's text is told of place by place, and its sound rest offered", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.3, 0.3]);
  const plan = {
    format: "duskline/plan", version: 1, title: "Torn", book: "outpost",
    parts: [{ id: "a", type: "sun-panel" }, { id: "b", type: "lamp" }],
    wires: [{ id: "w", from: "a.out", to: "b.in" }, { id: "v", from: "a.out", to: "nowhere.in" }],
  };
  await pasteText(driver, JSON.stringify(plan));
  await driver.dialog.getByRole("rowheader", { name: /wires/ }).first().waitFor();
  await driver.hasCounts(1, 0);
  await driver.dialog.getByRole("button", { name: /^Open the sound rest/ }).click();
  await driver.hasCounts(2, 1);
  await visitor.leave();
});

test("in a field, copy and paste are the field's", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.3, 0.3]);
  await driver.page.evaluate(() => navigator.clipboard.writeText("pump"));
  await driver.page.getByRole("searchbox").click();
  await driver.page.keyboard.press("Control+v");
  assert.equal(await driver.page.getByRole("searchbox").inputValue(), "pump");
  await driver.hasCounts(1, 0);
  await visitor.leave();
});
