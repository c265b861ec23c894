// The world's settings: the day's length, its sun of either kind, weather, wind, and who is home; each with what it changes.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** The dusk lamp with the world's settings unfolded; `enter` fills an entry by its label. */
async function withWorld() {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.details.getByText("World", { exact: true }).click();
  const entry = (label) => driver.details.getByLabel(label, { exact: true });
  await entry("Length of the day").waitFor();
  const enter = async (label, text) => {
    await entry(label).fill(text);
    await entry(label).press("Enter");
  };
  const shown = driver.page.getByRole("group", { name: "Moment shown" }).locator("output");
  const reads = (pattern) => expect(async () => assert.match(await shown.textContent(), pattern));
  return { visitor, driver, entry, enter, reads };
}

test("a shorter day keeps the place on the dial, and the run goes with it", async () => {
  const { visitor, driver, entry, enter, reads } = await withWorld();
  await driver.setTime("Noon");
  await reads(/^12:00, day 1, light/);
  await enter("Length of the day", "3600");
  await reads(/^12:00, day 1, light/);
  await expect(async () => assert.equal(await driver.moment(), 1_800_000));
  await driver.button("Undo").click();
  await expect(async () => assert.equal(await entry("Length of the day").inputValue(), "86400"));
  await visitor.leave();
});

test("a number out of range says what was expected, and changes nothing", async () => {
  const { visitor, driver, entry, enter } = await withWorld();
  const before = await entry("Latitude").inputValue();
  await enter("Latitude", "123");
  await expect(async () => assert.equal(await entry("Latitude").getAttribute("aria-invalid"), "true"));
  await driver.details.getByText(/^Found .*123.*expected/).waitFor();
  assert.ok(await driver.button("Undo").isDisabled());
  await enter("Latitude", before);
  await expect(async () => assert.notEqual(await entry("Latitude").getAttribute("aria-invalid"), "true"));
  await visitor.leave();
});

test("the world's own arc rises and sets when it is told to", async () => {
  const { visitor, driver, entry, enter, reads } = await withWorld();
  await entry("Sun").selectOption("arc");
  await expect(async () => assert.equal(await entry("Sunrise").inputValue(), "06:00"));
  assert.equal(await entry("Latitude").count(), 0);
  await enter("Sunrise", "07:30");
  await driver.setTime("Dawn");
  await reads(/^07:\d\d, day 1/);
  await enter("Sunset", "07:00");
  await driver.details.getByText(/expected a sunset later than the sunrise/).waitFor();
  await enter("Sunset", "16:00");
  await driver.setTime("Dusk");
  await reads(/^1[56]:\d\d, day 1/);
  await driver.undoAll();
  await expect(async () => assert.equal(await entry("Sunrise").count(), 0));
  await entry("Latitude").waitFor();
  await visitor.leave();
});

test("a dull day gives less", async () => {
  const { visitor, driver, enter } = await withWorld();
  await driver.setTime("Noon");
  // What the panel could give, as its card says it.
  const panel = driver.paper.getByRole("group", { name: /gives \d+ of \d+/ }).first();
  const given = async () => Number((await panel.getAttribute("aria-label")).match(/gives \d+ of (\d+)/)[1]);
  const bright = await given();
  assert.ok(bright > 0);
  await enter("Weather by day", "0.5");
  await expect(async () => assert.ok(await given() < bright));
  await enter("Weather by day", "fair");
  await driver.details.getByText(/^Found “fair”, expected numbers from 0 to/).waitFor();
  await driver.button("Undo").click();
  await expect(async () => assert.equal(await given(), bright));
  await visitor.leave();
});

test("wind is one factor for all hours or 24, and its picture comes and goes with it", async () => {
  const { visitor, driver, entry, enter } = await withWorld();
  const picture = driver.details.getByRole("img", { name: "The day’s wind" });
  assert.equal(await picture.count(), 0);
  await enter("Wind by hour", "0.4");
  await picture.waitFor();
  await enter("Wind by hour", "0.4 0.5");
  await driver.details.getByText(/^Found 2 numbers, expected 24/).waitFor();
  await picture.waitFor();
  const hours = Array.from({ length: 24 }, (_, hour) => (hour % 2 ? "0.2" : "0.8")).join(" ");
  await enter("Wind by hour", hours);
  await expect(async () => assert.equal(await entry("Wind by hour").inputValue(), hours));
  await driver.undoAll();
  await expect(async () => assert.equal(await picture.count(), 0));
  await visitor.leave();
});

test("somebody is home in the stretches that are named", async () => {
  const { visitor, driver, entry } = await withWorld();
  const picture = driver.details.getByRole("img", { name: "When somebody is home" });
  const home = driver.details.getByRole("group", { name: "Somebody is home" });
  const stretches = await home.getByRole("listitem").count();
  await home.getByRole("button", { name: "Add a stretch" }).click();
  const last = `Stretch ${stretches + 1} from`;
  await expect(async () => assert.equal(await entry(last).inputValue(), "18:00"));
  await picture.waitFor();
  await entry(last).fill("17:00");
  await entry(last).press("Enter");
  await expect(async () => assert.equal(await entry(last).inputValue(), "17:00"));
  await home.getByRole("button", { name: `Remove stretch ${stretches + 1}` }).click();
  await expect(async () => assert.equal(await home.getByRole("listitem").count(), stretches));
  await visitor.leave();
});

test("the world's settings stay unfolded when something else was chosen in between", async () => {
  const { visitor, driver, entry } = await withWorld();
  await driver.choose("Dusk lamp");
  await driver.page.keyboard.press("Escape");
  await entry("Length of the day").waitFor();
  await visitor.leave();
});

for (const size of [{ width: 1440, height: 900 }, { width: 390, height: 844 }]) {
  test(`a contact without home hours leads to where they are said at ${size.width} × ${size.height}`, async () => {
    const small = size.width < 761;
    const visitor = await station.visitor({ size, touch: small });
    const driver = new PageDriver(await visitor.open());
    await driver.openFile({ format: "duskline/plan", version: 1, book: "outpost", wires: [], parts: [{ id: "p1", type: "home", at: [0, 0] }] });
    await driver.card("Home contact").waitFor();
    if (small) await driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Problems" }).tap();
    await driver.details.getByRole("button", { name: /no hours at which somebody is home/ }).click();
    const home = driver.details.getByRole("group", { name: "Somebody is home" });
    const add = home.getByRole("button", { name: "Add a stretch" });
    await expect(async () => assert.ok(await add.evaluate((e) => e === document.activeElement), "it has the keyboard"));
    const box = await add.boundingBox();
    assert.ok(box.y > 0 && box.y + box.height <= size.height, JSON.stringify(box));
    await driver.page.keyboard.press("Enter");
    await expect(async () => assert.equal(await home.getByRole("listitem").count(), 1));
    await expect(async () => assert.equal(await driver.details.locator(".problem", { hasText: "somebody is home" }).count(), 0));
    await visitor.leave();
  });
}
