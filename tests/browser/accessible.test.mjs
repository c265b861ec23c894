// What axe finds on the page as it is used, in both themes, and that the board is SVG through and through.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, assertAccessible } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

for (const theme of ["light", "dark"]) {
  test(`accessible in the ${theme} theme: empty, the example, a part's details, the dialogs`, async (t) => {
    const visitor = await station.visitor({ theme });
    const driver = new PageDriver(await visitor.open());
    const { page } = driver;
    await t.test("an empty board", () => assertAccessible(page));
    await driver.openExample("Kittiwake Light");
    await t.test("the example", () => assertAccessible(page));
    await page.getByRole("button", { name: "Fit" }).click();
    await page.locator("g.card").first().focus();
    await page.keyboard.press("Space");
    await driver.details.getByRole("heading", { name: "Ports" }).waitFor();
    await t.test("a part's details", () => assertAccessible(page));
    await page.keyboard.press("Control+a");
    await driver.details.getByRole("button", { name: "Duplicate" }).waitFor();
    await t.test("several parts", () => assertAccessible(page));
    await page.keyboard.press("?");
    await driver.dialog.waitFor();
    await t.test("the keys", () => assertAccessible(page));
    await page.keyboard.press("Escape");
    await driver.button("Plans…").click();
    await driver.dialog.waitFor();
    await t.test("the kept plans", () => assertAccessible(page));
    await visitor.leave();
  });

  test(`accessible in the ${theme} theme on a narrow screen, each pane of the drawer`, async (t) => {
    const visitor = await station.visitor({ theme, size: { width: 390, height: 844 }, touch: true });
    const driver = new PageDriver(await visitor.open());
    await driver.openExample("Dusk lamp");
    for (const pane of ["Shelf", "Details", "Problems"]) {
      await driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: pane }).tap();
      await t.test(pane, () => assertAccessible(driver.page));
    }
    await visitor.leave();
  });
}

test("everything on the board is SVG", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  await driver.page.locator("g.card").first().focus();
  await driver.page.keyboard.press("Control+a");
  const strays = () => driver.page.evaluate(() => [...document.querySelectorAll("svg *")]
    .filter((e) => e.namespaceURI !== "http://www.w3.org/2000/svg").map((e) => e.outerHTML.slice(0, 120)));
  assert.deepEqual(await strays(), []);

  // With a bend's handles, a wire in the making and a new part.
  await driver.newPlan();
  await driver.placePart("Sun panel", [0.2, 0.3]);
  await driver.placePart("Battery", [0.7, 0.6]);
  await driver.wire("Sun panel", "out", "Battery", "in");
  await driver.chooseWire("Sun panel", "out");
  await driver.page.locator("g.bend").first().waitFor();
  const { x, y } = await driver.portAt("Battery", "out");
  await driver.page.mouse.click(x, y);
  await driver.page.mouse.move(x + 60, y + 40);
  await driver.page.locator("path.preview").waitFor();
  assert.deepEqual(await strays(), []);
  await visitor.leave();
});

test("the theme can be chosen, and the choice outlives a reload", async () => {
  const visitor = await station.visitor();
  const page = await visitor.open();
  const paper = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  const light = await paper();
  await page.getByLabel("Theme").first().selectOption("dark");
  const dark = await paper();
  assert.notEqual(dark, light);
  await page.reload();
  await visitor.started(page);
  assert.equal(await paper(), dark);
  await visitor.leave();
});
