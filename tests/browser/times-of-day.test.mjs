// Settings that are lists of times, in the details: a switch's schedule, a button's presses, a detector's stretches.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** Kittiwake Light with this part chosen; `entry` finds an entry of the details by its label. */
async function withChosen(name) {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.openExample("Kittiwake Light");
  await desk.choose(name);
  const entry = (label) => desk.details.getByLabel(label, { exact: true });
  const enter = async (label, text) => {
    await entry(label).fill(text);
    await entry(label).press("Enter");
  };
  return { visitor, desk, entry, enter };
}

test("a switch's schedule: times are added, changed and removed, and the board follows", async () => {
  const { visitor, desk, entry, enter } = await withChosen("Causeway switch");
  await desk.setTime("Noon");
  await desk.card("Causeway switch, Switch: closed").waitFor();
  await desk.details.getByRole("button", { name: "Add a time" }).click();
  await expect(async () => assert.equal(await entry("Time 1").inputValue(), "12:00"));
  await entry("Position from time 1").selectOption("open");
  await desk.card("Causeway switch, Switch: open").waitFor();
  await enter("Time 1", "13:00");
  await desk.card("Causeway switch, Switch: closed").waitFor();
  await desk.details.getByRole("button", { name: "Add a time" }).click();
  await enter("Time 2", "11:00");
  await expect(async () => assert.equal(await entry("Time 2").inputValue(), "11:00"));
  await desk.details.getByRole("button", { name: "Remove time 1" }).click();
  await expect(async () => assert.equal(await entry("Time 1").inputValue(), "11:00"));
  await expect(async () => assert.equal(await entry("Time 2").count(), 0));
  await desk.undoAll();
  await expect(async () => assert.equal(await entry("Time 1").count(), 0));
  await desk.card("Causeway switch, Switch: closed").waitFor();
  await visitor.leave();
});

test("a time that can't be read says so, and changes nothing", async () => {
  const { visitor, desk, entry, enter } = await withChosen("Gate button");
  await enter("Press 1", "25:99");
  await desk.details.getByText("Expected a time from 00:00 to 24:00.").waitFor();
  assert.equal(await entry("Press 1").getAttribute("aria-invalid"), "true");
  assert.ok(await desk.button("Undo").isDisabled());
  await enter("Press 1", "08:20");
  await desk.details.getByText("Expected a time from 00:00 to 24:00.").waitFor({ state: "hidden" });
  assert.equal(await desk.undoAll(), 1);
  await expect(async () => assert.equal(await entry("Press 1").inputValue(), "08:30"));
  await visitor.leave();
});

test("a button's presses: one fewer and one more", async () => {
  const { visitor, desk, entry } = await withChosen("Gate button");
  const presses = desk.details.getByLabel(/^Press \d+$/);
  await expect(async () => assert.equal(await presses.count(), 4));
  await desk.details.getByRole("button", { name: "Remove press 2" }).click();
  await expect(async () => assert.equal(await presses.count(), 3));
  assert.equal(await entry("Press 2").inputValue(), "17:30");
  await desk.details.getByRole("button", { name: "Add a press" }).click();
  await expect(async () => assert.equal(await entry("Press 4").inputValue(), "12:00"));
  assert.equal(await desk.undoAll(), 2);
  await expect(async () => assert.equal(await presses.count(), 4));
  await visitor.leave();
});

test("a detector's stretches: a longer one reaches the moment shown, without it the detector rests", async () => {
  const { visitor, desk, enter } = await withChosen("Causeway detector");
  await desk.setTime("Noon");
  const card = (state) => desk.card(`Causeway detector, Detector: ${state}`).waitFor();
  await card("open");
  await enter("Stretch 1 from", "11:30");
  await card("closed");
  await enter("Stretch 1 to", "11:45");
  await card("open");
  await desk.details.getByRole("button", { name: "Add a stretch" }).click();
  await enter("Stretch 4 from", "11:00");
  await card("closed");
  await desk.details.getByRole("button", { name: "Remove stretch 4" }).click();
  await card("open");
  await desk.undoAll();
  await card("open");
  await visitor.leave();
});
