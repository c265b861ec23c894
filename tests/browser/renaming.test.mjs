// A part renamed on the board: by a double click, by F2, given up by Escape; and a name taken away again.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function withLamp() {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.5, 0.3]);
  return { visitor, driver, field: driver.page.getByRole("textbox", { name: "Name of the part" }) };
}

async function doubleClick(driver, name) {
  const { x, y } = await driver.centreOf(name);
  await driver.page.mouse.dblclick(x, y);
}

test("a double click on a card opens a field for its name, Enter takes it, and one step takes it back", async () => {
  const { visitor, driver, field } = await withLamp();
  await doubleClick(driver, "Lamp");
  await field.waitFor();
  await driver.page.keyboard.type("Stair lamp");
  await driver.page.keyboard.press("Enter");
  await field.waitFor({ state: "detached" });
  await driver.card("Stair lamp, Lamp: off").waitFor();
  // The keyboard is back on the card.
  await expect(async () => assert.equal(
    await driver.page.evaluate(() => document.activeElement.getAttribute("data-part")),
    await driver.card("Stair lamp").getAttribute("data-part"),
  ));
  await driver.button("Undo").click();
  await driver.card("Lamp: off").waitFor();
  await driver.button("Redo").click();
  await driver.card("Stair lamp, Lamp: off").waitFor();
  await visitor.leave();
});

test("Escape gives the new name up, and leaves no step", async () => {
  const { visitor, driver, field } = await withLamp();
  await doubleClick(driver, "Lamp");
  await field.waitFor();
  await driver.page.keyboard.type("Never mind");
  await driver.page.keyboard.press("Escape");
  await field.waitFor({ state: "detached" });
  await driver.card("Lamp: off").waitFor();
  assert.equal(await driver.undoAll(), 1, "only the placing of the part");
  await visitor.leave();
});

test("F2 renames the chosen part, and leaving the field keeps the name", async () => {
  const { visitor, driver, field } = await withLamp();
  await driver.choose("Lamp");
  await driver.page.keyboard.press("F2");
  await field.waitFor();
  await driver.page.keyboard.type("Gallery lamp");
  await driver.clickPaper();
  await field.waitFor({ state: "detached" });
  await driver.card("Gallery lamp, Lamp: off").waitFor();
  await visitor.leave();
});

test("a name taken away leaves the type's, on the board and in the details", async () => {
  const { visitor, driver, field } = await withLamp();
  await driver.choose("Lamp");
  const entry = driver.details.getByRole("textbox", { name: "Name", exact: true });
  await entry.fill("Porch");
  await entry.press("Enter");
  await driver.card("Porch, Lamp: off").waitFor();
  await doubleClick(driver, "Porch");
  await field.waitFor();
  assert.equal(await field.inputValue(), "Porch");
  await field.fill("   ");
  await field.press("Enter");
  await driver.card("Lamp: off").waitFor();
  await driver.details.getByRole("heading", { name: "Lamp", exact: true }).waitFor();
  assert.equal(await entry.inputValue(), "");
  await visitor.leave();
});

test("the chart and the list of events call a part by its new name", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  const events = driver.log.getByRole("region", { name: "Events" });
  await events.getByText("Dusk lamp starts").first().waitFor();
  await driver.choose("Dusk lamp");
  const entry = driver.details.getByRole("textbox", { name: "Name", exact: true });
  await entry.fill("Jetty lamp");
  await entry.press("Enter");
  await driver.lane("Jetty lamp").waitFor();
  await events.getByText("Jetty lamp starts").first().waitFor();
  assert.equal(await events.getByText("Dusk lamp").count(), 0);
  await visitor.leave();
});
