// The plans that are kept: renamed, whether open or not, and deleted after a question.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** A visitor who keeps two plans: “First” with a lamp, and “Second” with a fan, which is open. */
async function withTwo() {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.5, 0.3]);
  await desk.setTitle("First");
  await desk.newPlan();
  await desk.placePart("Fan", [0.5, 0.3]);
  await desk.setTitle("Second");
  return { visitor, desk };
}

/** The titles in the list, which is then open. */
async function titles(desk) {
  const fields = await desk.dialog.getByRole("textbox", { name: /^Title of / }).all();
  return Promise.all(fields.map((field) => field.inputValue()));
}

const listReads = (desk, expected) => expect(async () => assert.deepEqual(await titles(desk), expected));

test("a kept plan that is not open is renamed, and opens by its new title", async () => {
  const { visitor, desk } = await withTwo();
  await desk.button("Plans…").click();
  const field = desk.dialog.getByRole("textbox", { name: "Title of First", exact: true });
  await field.fill("Harbour");
  await field.press("Enter");
  await desk.dialog.getByRole("button", { name: "Open Harbour", exact: true }).waitFor();
  await listReads(desk, ["Second", "Harbour"]);
  await desk.dialog.getByRole("button", { name: "Open Harbour", exact: true }).click();
  await desk.card("Lamp").waitFor();
  await expect(async () => assert.match(await desk.page.title(), /^Harbour/));
  await desk.page.reload();
  await visitor.started(desk.page);
  await desk.card("Lamp").waitFor();
  await expect(async () => assert.match(await desk.page.title(), /^Harbour/));
  await visitor.leave();
});

test("the open plan renamed in the list is a step that can be taken back", async () => {
  const { visitor, desk } = await withTwo();
  await desk.button("Plans…").click();
  const field = desk.dialog.getByRole("textbox", { name: "Title of Second", exact: true });
  await field.fill("Workshop");
  await field.press("Enter");
  await expect(async () => assert.match(await desk.page.title(), /^Workshop/));
  await desk.readDialog();
  await desk.button("Undo").click();
  await expect(async () => assert.match(await desk.page.title(), /^Second/));
  await visitor.leave();
});

test("a plan is deleted only after a question, and is gone after a reload", async () => {
  const { visitor, desk } = await withTwo();
  await desk.button("Plans…").click();
  const deletion = desk.dialog.getByRole("button", { name: "Delete First", exact: true });
  await deletion.click();
  await desk.dialog.getByRole("group", { name: "Delete?" }).getByRole("button", { name: "Keep" }).click();
  await listReads(desk, ["Second", "First"]);
  await deletion.click();
  await desk.dialog.getByRole("button", { name: "Delete for good: First", exact: true }).click();
  await listReads(desk, ["Second"]);
  await desk.readDialog();
  await desk.card("Fan").waitFor();
  await desk.page.reload();
  await visitor.started(desk.page);
  await desk.card("Fan").waitFor();
  await desk.button("Plans…").click();
  await listReads(desk, ["Second"]);
  await visitor.leave();
});

test("the open plan deleted gives way to the next, and after the last there is an empty board", async () => {
  const { visitor, desk } = await withTwo();
  for (const [title, then] of [["Second", () => desk.card("Lamp").waitFor()], ["First", () => desk.hasCounts(0, 0)]]) {
    await desk.button("Plans…").click();
    await desk.dialog.getByRole("button", { name: `Delete ${title}`, exact: true }).click();
    await desk.dialog.getByRole("button", { name: `Delete for good: ${title}`, exact: true }).click();
    await desk.readDialog();
    await then();
  }
  await desk.page.getByRole("heading", { name: "An empty board" }).waitFor();
  await visitor.leave();
});
