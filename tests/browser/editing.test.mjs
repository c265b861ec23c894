// Editing on the board and around it: names, bends by hand, several parts at once, kept plans, the world, a large plan.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { grid } from "../bench/grid.mjs";
import { Station, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const middle = (box) => ({ x: box.x + box.width / 2, y: box.y + box.height / 2 });

/** The field that lies on a card while it is renamed. */
const nameField = (desk) => desk.page.getByRole("textbox", { name: "Name of the part" });

test("a part is renamed on its card by double click and by F2; Escape leaves it as it was", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.5, 0.4]);
  await desk.clickPaper();
  const at = middle(await desk.card("Lamp").boundingBox());

  await desk.page.mouse.dblclick(at.x, at.y);
  await nameField(desk).fill("Porch lamp");
  await nameField(desk).press("Enter");
  await desk.card("Porch lamp").waitFor();
  assert.equal(await nameField(desk).count(), 0);

  await desk.choose("Porch lamp");
  await desk.page.keyboard.press("F2");
  assert.equal(await nameField(desk).inputValue(), "Porch lamp");
  await nameField(desk).fill("Jetty lamp");
  await nameField(desk).press("Escape");
  await nameField(desk).waitFor({ state: "detached" });
  await desk.card("Porch lamp").waitFor();

  await desk.page.keyboard.press("F2");
  await nameField(desk).fill("Jetty lamp");
  // Leaving the field keeps what was written.
  await desk.clickPaper();
  await desk.card("Jetty lamp").waitFor();
  await desk.page.keyboard.press("Control+z");
  await desk.card("Porch lamp").waitFor();
  await visitor.leave();
});

/** A place in the middle of a piece of the chosen wire, one that no label covers, from which a bend can be drawn. */
function freeHandle(desk) {
  return expect(() => desk.paper.evaluate((paper) => {
    for (const handle of paper.querySelectorAll("[data-new]")) {
      const box = handle.getBoundingClientRect();
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      if (handle.contains(document.elementFromPoint(x, y))) return { x, y };
    }
    throw new Error("no handle can be met");
  }));
}

test("a bend is drawn from a wire, moved, taken out by key and by double click, and brought back", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Sun panel", [0.15, 0.15]);
  await desk.placePart("Lamp", [0.75, 0.75]);
  await desk.wire("Sun panel", "out", "Lamp", "in");
  await desk.chooseWire("Sun panel", "out");
  const { mouse } = desk.page;
  const bends = desk.paper.getByRole("button", { name: /^Bend \d/ });
  const hasBends = (n) => expect(async () => assert.equal(await bends.count(), n));
  const course = () => desk.wireFrom("Sun panel", "out").locator(".wire-hit").getAttribute("d");
  const straight = await course();

  const from = await freeHandle(desk);
  await desk.drag(from, { x: from.x + 48, y: from.y + 64 });
  await hasBends(1);
  const bent = await course();
  assert.notEqual(bent, straight);

  const bend = middle(await bends.first().boundingBox());
  await desk.drag(bend, { x: bend.x + 60, y: bend.y + 40 });
  await expect(async () => assert.notEqual(await course(), bent));
  const moved = await course();
  await desk.page.keyboard.press("Control+z");
  await expect(async () => assert.equal(await course(), bent));
  await desk.page.keyboard.press("Control+y");
  await expect(async () => assert.equal(await course(), moved));

  await bends.first().focus();
  await desk.page.keyboard.press("Delete");
  await hasBends(0);
  await expect(async () => assert.equal(await course(), straight));
  await desk.hasCounts(2, 1);
  await desk.page.keyboard.press("Control+z");
  await hasBends(1);

  const again = middle(await bends.first().boundingBox());
  await mouse.dblclick(again.x, again.y);
  await hasBends(0);
  await desk.hasCounts(2, 1);
  await visitor.leave();
});

test("several parts are lined up, duplicated with the wire among them, and deleted, each as one step", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Sun panel", [0.2, 0.2]);
  await desk.placePart("Lamp", [0.6, 0.6]);
  await desk.wire("Sun panel", "out", "Lamp", "in");
  const whole = await desk.read();
  const edge = async (name) => {
    const { x, y } = await desk.card(name).first().locator("rect.ground").boundingBox();
    return [Math.round(x), Math.round(y)];
  };

  await desk.clickPaper();
  await desk.page.keyboard.press("Control+a");
  await desk.details.getByRole("heading", { name: "2 parts, 1 wire" }).waitFor();
  await desk.details.getByRole("button", { name: "Line up top edges" }).click();
  await expect(async () => assert.equal((await edge("Sun panel"))[1], (await edge("Lamp"))[1]));
  await desk.button("Undo").click();
  await desk.reads(whole);
  await desk.details.getByRole("button", { name: "Line up left edges" }).click();
  await expect(async () => assert.equal((await edge("Sun panel"))[0], (await edge("Lamp"))[0]));
  await desk.button("Undo").click();
  await desk.reads(whole);

  await desk.details.getByRole("button", { name: "Duplicate" }).click();
  await desk.hasCounts(4, 2);
  await desk.details.getByRole("heading", { name: "2 parts", exact: true }).waitFor();
  await desk.details.getByRole("button", { name: "Delete" }).click();
  await desk.hasCounts(2, 1);
  await desk.reads(whole);
  await desk.button("Undo").click();
  await desk.hasCounts(4, 2);
  await desk.button("Undo").click();
  await desk.reads(whole);
  await visitor.leave();
});

test("kept plans are renamed and deleted in their list, deleted only when told twice", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.3, 0.3]);
  await desk.setTitle("First");
  await desk.newPlan();
  await desk.placePart("Fan", [0.3, 0.3]);
  await desk.setTitle("Second");

  await desk.button("Plans…").click();
  const title = desk.dialog.getByRole("textbox", { name: "Title of First" });
  await title.fill("Boathouse");
  await title.press("Enter");
  await desk.dialog.getByRole("button", { name: "Open Boathouse", exact: true }).click();
  await desk.card("Lamp").waitFor();
  await expect(async () => assert.match(await desk.page.title(), /^Boathouse/));

  await desk.button("Plans…").click();
  await desk.dialog.getByRole("button", { name: "Delete Second", exact: true }).click();
  await desk.dialog.getByRole("button", { name: "Keep", exact: true }).click();
  await desk.dialog.getByRole("button", { name: "Open Second", exact: true }).waitFor();
  await desk.dialog.getByRole("button", { name: "Delete Second", exact: true }).click();
  await desk.dialog.getByRole("button", { name: "Delete for good: Second" }).click();
  await desk.dialog.getByRole("textbox", { name: "Title of Second" }).waitFor({ state: "detached" });
  await desk.page.keyboard.press("Escape");

  await desk.page.reload();
  await visitor.started(desk.page);
  await desk.card("Lamp").waitFor();
  await desk.button("Plans…").click();
  assert.equal(await desk.dialog.getByRole("textbox", { name: /^Title of/ }).count(), 1);
  await visitor.leave();
});

test("the world's form takes what can be, tells of what can't, and each entry is one step", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Sun panel", [0.2, 0.3]);
  await desk.placePart("Lamp", [0.7, 0.3]);
  await desk.wire("Sun panel", "out", "Lamp", "in");
  await desk.setTime("Noon");
  await desk.readsOnWire("Sun panel", "out", "2 / 9");
  await desk.clickPaper();
  await desk.details.getByText("World", { exact: true }).click();
  const field = (label) => desk.details.getByLabel(label, { exact: true });
  const enter = async (label, text) => {
    await field(label).fill(text);
    await field(label).press("Enter");
  };

  await enter("Weather by day", "0.5 1");
  await expect(async () => assert.notEqual(await (await desk.labelOf("Sun panel", "out")).locator("text").textContent(), "2 / 9"));
  await desk.button("Undo").click();
  await desk.readsOnWire("Sun panel", "out", "2 / 9");
  await expect(async () => assert.equal(await field("Weather by day").inputValue(), "1"));

  await enter("Latitude", "100");
  await desk.details.getByText(/^Found .*100/).waitFor();
  await desk.readsOnWire("Sun panel", "out", "2 / 9");
  await enter("Latitude", "-30");
  await desk.details.getByText(/^Found .*100/).waitFor({ state: "hidden" });

  await field("Sun").selectOption("arc");
  await enter("Sunrise", "19:00");
  await desk.details.getByText("expected a sunset later than the sunrise").waitFor();
  await enter("Sunrise", "07:00");
  await expect(async () => assert.equal(await field("Sunrise").inputValue(), "07:00"));
  await desk.button("Undo").click();
  await expect(async () => assert.equal(await field("Sunrise").inputValue(), "06:00"));
  await desk.button("Undo").click();
  await expect(async () => assert.equal(await field("Latitude").inputValue(), "-30"));
  await visitor.leave();
});

test("500 parts open from a file, are moved, taken back and kept", async () => {
  const visitor = await station.visitor();
  visitor.context.setDefaultTimeout(60_000);
  const desk = new Desk(await visitor.open());
  const plan = grid(500);
  const chooser = desk.page.waitForEvent("filechooser");
  await desk.button("File").click();
  await desk.button("Open a file…").click();
  await (await chooser).setFiles({ name: "large.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(plan)) });
  await desk.paper.locator(`g.parts[data-count="${plan.parts.length}"]`).waitFor({ state: "attached" });
  await desk.page.keyboard.press("f");

  const place = () => desk.card("Panel 1").getAttribute("transform");
  await desk.card("Panel 1").waitFor();
  const before = await place();
  const from = middle(await desk.card("Panel 1").locator("rect.ground").boundingBox());
  await desk.drag(from, { x: from.x + 60, y: from.y + 40 });
  await expect(async () => assert.notEqual(await place(), before));
  const after = await place();
  await desk.page.keyboard.press("Control+z");
  await expect(async () => assert.equal(await place(), before));
  await desk.page.keyboard.press("Control+y");
  await expect(async () => assert.equal(await place(), after));

  await desk.page.reload();
  await visitor.started(desk.page);
  await desk.paper.locator(`g.parts[data-count="${plan.parts.length}"]`).waitFor({ state: "attached" });
  await expect(async () => assert.equal(await place(), after));
  await visitor.leave();
});
