// A part renamed on the board: by a double click, by F2, given up by Escape; and a name taken away again.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function withLamp() {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.5, 0.3]);
  return { visitor, desk, field: desk.page.getByRole("textbox", { name: "Name of the part" }) };
}

async function doubleClick(desk, name) {
  const { x, y } = await desk.centreOf(name);
  await desk.page.mouse.dblclick(x, y);
}

test("a double click on a card opens a field for its name, Enter takes it, and one step takes it back", async () => {
  const { visitor, desk, field } = await withLamp();
  await doubleClick(desk, "Lamp");
  await field.waitFor();
  await desk.page.keyboard.type("Stair lamp");
  await desk.page.keyboard.press("Enter");
  await field.waitFor({ state: "detached" });
  await desk.card("Stair lamp, Lamp: off").waitFor();
  // The keyboard is back on the card.
  await expect(async () => assert.equal(
    await desk.page.evaluate(() => document.activeElement.getAttribute("data-part")),
    await desk.card("Stair lamp").getAttribute("data-part"),
  ));
  await desk.button("Undo").click();
  await desk.card("Lamp: off").waitFor();
  await desk.button("Redo").click();
  await desk.card("Stair lamp, Lamp: off").waitFor();
  await visitor.leave();
});

test("Escape gives the new name up, and leaves no step", async () => {
  const { visitor, desk, field } = await withLamp();
  await doubleClick(desk, "Lamp");
  await field.waitFor();
  await desk.page.keyboard.type("Never mind");
  await desk.page.keyboard.press("Escape");
  await field.waitFor({ state: "detached" });
  await desk.card("Lamp: off").waitFor();
  assert.equal(await desk.undoAll(), 1, "only the placing of the part");
  await visitor.leave();
});

test("F2 renames the chosen part, and leaving the field keeps the name", async () => {
  const { visitor, desk, field } = await withLamp();
  await desk.choose("Lamp");
  await desk.page.keyboard.press("F2");
  await field.waitFor();
  await desk.page.keyboard.type("Gallery lamp");
  await desk.clickPaper();
  await field.waitFor({ state: "detached" });
  await desk.card("Gallery lamp, Lamp: off").waitFor();
  await visitor.leave();
});

test("a name taken away leaves the type's, on the board and in the details", async () => {
  const { visitor, desk, field } = await withLamp();
  await desk.choose("Lamp");
  const entry = desk.details.getByRole("textbox", { name: "Name", exact: true });
  await entry.fill("Porch");
  await entry.press("Enter");
  await desk.card("Porch, Lamp: off").waitFor();
  await doubleClick(desk, "Porch");
  await field.waitFor();
  assert.equal(await field.inputValue(), "Porch");
  await field.fill("   ");
  await field.press("Enter");
  await desk.card("Lamp: off").waitFor();
  await desk.details.getByRole("heading", { name: "Lamp", exact: true }).waitFor();
  assert.equal(await entry.inputValue(), "");
  await visitor.leave();
});
