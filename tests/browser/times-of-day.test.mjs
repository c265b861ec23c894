// Settings that are lists of times, in the details: a switch's schedule, a button's presses, a detector's stretches.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** Kittiwake Light with this part chosen; `entry` finds an entry of the details by its label. */
async function withChosen(name) {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  await driver.choose(name);
  const entry = (label) => driver.details.getByLabel(label, { exact: true });
  const enter = async (label, text) => {
    await entry(label).fill(text);
    await entry(label).press("Enter");
  };
  return { visitor, driver, entry, enter };
}

test("a switch's schedule: times are added, changed and removed, and the board follows", async () => {
  const { visitor, driver, entry, enter } = await withChosen("Causeway switch");
  await driver.setTime("Noon");
  await driver.card("Causeway switch, Switch: closed").waitFor();
  await driver.details.getByRole("button", { name: "Add a time" }).click();
  await expect(async () => assert.equal(await entry("Time 1").inputValue(), "12:00"));
  await entry("Position from time 1").selectOption("open");
  await driver.card("Causeway switch, Switch: open").waitFor();
  await enter("Time 1", "13:00");
  await driver.card("Causeway switch, Switch: closed").waitFor();
  await driver.details.getByRole("button", { name: "Add a time" }).click();
  await enter("Time 2", "11:00");
  await expect(async () => assert.equal(await entry("Time 2").inputValue(), "11:00"));
  await driver.details.getByRole("button", { name: "Remove time 1" }).click();
  await expect(async () => assert.equal(await entry("Time 1").inputValue(), "11:00"));
  await expect(async () => assert.equal(await entry("Time 2").count(), 0));
  await driver.undoAll();
  await expect(async () => assert.equal(await entry("Time 1").count(), 0));
  await driver.card("Causeway switch, Switch: closed").waitFor();
  await visitor.leave();
});

test("a time that can't be read says so, and changes nothing", async () => {
  const { visitor, driver, entry, enter } = await withChosen("Gate button");
  await enter("Press 1", "25:99");
  await driver.details.getByText("Expected a time from 00:00 to 24:00.").waitFor();
  assert.equal(await entry("Press 1").getAttribute("aria-invalid"), "true");
  assert.ok(await driver.button("Undo").isDisabled());
  await enter("Press 1", "08:20");
  await driver.details.getByText("Expected a time from 00:00 to 24:00.").waitFor({ state: "hidden" });
  assert.equal(await driver.undoAll(), 1);
  await expect(async () => assert.equal(await entry("Press 1").inputValue(), "08:30"));
  await visitor.leave();
});

test("a button's presses: one fewer and one more", async () => {
  const { visitor, driver, entry } = await withChosen("Gate button");
  const presses = driver.details.getByLabel(/^Press \d+$/);
  await expect(async () => assert.equal(await presses.count(), 4));
  await driver.details.getByRole("button", { name: "Remove press 2" }).click();
  await expect(async () => assert.equal(await presses.count(), 3));
  assert.equal(await entry("Press 2").inputValue(), "17:30");
  await driver.details.getByRole("button", { name: "Add a press" }).click();
  await expect(async () => assert.equal(await entry("Press 4").inputValue(), "12:00"));
  assert.equal(await driver.undoAll(), 2);
  await expect(async () => assert.equal(await presses.count(), 4));
  await visitor.leave();
});

test("a detector's stretches: a longer one reaches the moment shown, without it the detector rests", async () => {
  const { visitor, driver, enter } = await withChosen("Causeway detector");
  await driver.setTime("Noon");
  const card = (state) => driver.card(`Causeway detector, Detector: ${state}`).waitFor();
  await card("open");
  await enter("Stretch 1 from", "11:30");
  await card("closed");
  await enter("Stretch 1 to", "11:45");
  await card("open");
  await driver.details.getByRole("button", { name: "Add a stretch" }).click();
  await enter("Stretch 4 from", "11:00");
  await card("closed");
  await driver.details.getByRole("button", { name: "Remove stretch 4" }).click();
  await card("open");
  await driver.undoAll();
  await card("open");
  await visitor.leave();
});
