// Copy and paste: parts with their wires from tab to tab, and whole plans and links as text.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function pasteText(desk, text) {
  await desk.page.bringToFront();
  await desk.page.evaluate((t) => navigator.clipboard.writeText(t), text);
  await desk.clickPaper();
  await desk.page.keyboard.press("Control+v");
}

/** Parts without their places: what a copy has in common with what it was copied from. */
const said = (board) => ({ parts: board.parts.map((part) => part.replace(/ at .*/, "")), wires: board.wires });

test("parts and the wires among them go by clipboard to another tab", async () => {
  const visitor = await station.visitor();
  const one = new Desk(await visitor.open());
  await one.buildDuskLamp();
  await one.setTime("Midnight");
  await one.readsOnWire("Battery", "out", "5 / 20");
  await one.clickPaper();
  await one.page.keyboard.press("Control+a");
  await one.page.keyboard.press("Control+c");
  await one.says(/^Copied 6 parts/);
  const whole = await one.read();

  const two = new Desk(await visitor.open());
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
  const desk = new Desk(await visitor.open());
  await desk.placePart("Sun panel", [0.2, 0.3]);
  await desk.placePart("Lamp", [0.7, 0.3]);
  await desk.wire("Sun panel", "out", "Lamp", "in");
  await desk.choose("Lamp");
  await desk.page.keyboard.press("Control+x");
  await desk.hasCounts(1, 0);
  await desk.page.keyboard.press("Control+v");
  await desk.hasCounts(2, 0);
  await visitor.leave();
});

test("a plan's text, pasted, opens as another plan", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.3, 0.3]);
  await desk.setTitle("Mine");
  const plan = {
    format: "duskline/plan", version: 1, title: "Pasted", book: "outpost",
    parts: [{ id: "a", type: "sun-panel" }, { id: "b", type: "lamp" }],
    wires: [{ id: "w", from: "a.out", to: "b.in" }],
  };
  await pasteText(desk, JSON.stringify(plan));
  await desk.hasCounts(2, 1);
  await desk.openKept("Mine");
  await desk.hasCounts(1, 0);
  await visitor.leave();
});

test("a link, pasted, opens as another plan; other text changes nothing", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.openExample("Dusk lamp");
  const link = await desk.copyLink();
  await desk.newPlan();
  await pasteText(desk, link);
  await desk.hasCounts(6, 6);
  await pasteText(desk, "a shopping list: <b>lamps</b>");
  await desk.says(/holds no parts/);
  await desk.hasCounts(6, 6);
  await visitor.leave();
});

test("a damaged plan's text is told of place by place, and its sound rest offered", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.3, 0.3]);
  const plan = {
    format: "duskline/plan", version: 1, title: "Torn", book: "outpost",
    parts: [{ id: "a", type: "sun-panel" }, { id: "b", type: "lamp" }],
    wires: [{ id: "w", from: "a.out", to: "b.in" }, { id: "v", from: "a.out", to: "nowhere.in" }],
  };
  await pasteText(desk, JSON.stringify(plan));
  await desk.dialog.getByRole("rowheader", { name: /wires/ }).first().waitFor();
  await desk.hasCounts(1, 0);
  await desk.dialog.getByRole("button", { name: /^Open the sound rest/ }).click();
  await desk.hasCounts(2, 1);
  await visitor.leave();
});

test("in a field, copy and paste are the field's", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.3, 0.3]);
  await desk.page.evaluate(() => navigator.clipboard.writeText("pump"));
  await desk.page.getByRole("searchbox").click();
  await desk.page.keyboard.press("Control+v");
  assert.equal(await desk.page.getByRole("searchbox").inputValue(), "pump");
  await desk.hasCounts(1, 0);
  await visitor.leave();
});
