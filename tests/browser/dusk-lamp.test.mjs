// The first circuit of the guide, from an empty board, by mouse and by keyboard alone.

import { after, before, test } from "node:test";
import { Station, assertAccessible } from "./harness.mjs";
import { DUSK_PARTS, DUSK_WIRES, PageDriver } from "./page-driver.mjs";
import { Keys } from "./keys.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

test("by mouse: the dusk lamp is built, and 5 is taken from the battery at night", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.buildDuskLamp();
  await driver.hasCounts(6, 6);

  await driver.setTime("Midnight");
  await driver.readsOnWire("Battery", "out", "5 / 20");
  await driver.chooseWire("Battery", "out");
  await driver.readsInDetails("5 u is taken of 20 u offered.");
  await driver.card("Lamp: runs").waitFor();
  // With a wire's details open.
  await assertAccessible(driver.page);

  // By day the coil is fed and holds the lamp dark; the heater goes on.
  await driver.setTime("Noon");
  await driver.readsOnWire("Battery", "out", "3 / 20");
  await driver.card("Lamp: off").waitFor();
  await driver.card("Heater: runs").waitFor();
  await visitor.leave();
});

test("by keyboard alone: the same board with the same numbers", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const keys = new Keys(driver);
  for (const [label] of DUSK_PARTS) await keys.placePart(label);
  for (const wire of DUSK_WIRES) await keys.wire(...wire);
  await driver.hasCounts(6, 6);
  await keys.choose("Relay");
  await keys.set("Contact", "break");

  await keys.setTime("Midnight");
  await driver.readsOnWire("Battery", "out", "5 / 20");
  await keys.chooseWire("Battery", "out");
  await driver.readsInDetails("5 u is taken of 20 u offered.");
  await keys.setTime("Noon");
  await driver.readsOnWire("Battery", "out", "3 / 20");
  await visitor.leave();
});

test("by keyboard: a wire begun can be given up, and a part removed and brought back", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const keys = new Keys(driver);
  for (const label of ["Sun panel", "Lamp"]) await keys.placePart(label);
  await keys.wire("Sun panel", "out", "Lamp", "in");
  const whole = await driver.read();

  await keys.goToPort("Lamp", "in");
  await keys.press("Enter", () => driver.page.locator(".paper.joining").waitFor());
  await keys.press("Escape", () => driver.page.locator(".paper:not(.joining)").waitFor());
  await driver.reads(whole);

  await keys.goToPart("Lamp");
  await keys.press("Escape", async () => {});
  await keys.press("Delete", () => driver.hasCounts(1, 0));
  await keys.press("Control+z", () => driver.reads(whole));
  await visitor.leave();
});
