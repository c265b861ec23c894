// The plans that are kept: renamed, whether open or not, and deleted after a question.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** A visitor who keeps two plans: “First” with a lamp, and “Second” with a fan, which is open. */
async function withTwo() {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.5, 0.3]);
  await driver.setTitle("First");
  await driver.newPlan();
  await driver.placePart("Fan", [0.5, 0.3]);
  await driver.setTitle("Second");
  return { visitor, driver };
}

/** The titles in the list, which is then open. */
async function titles(driver) {
  const fields = await driver.dialog.getByRole("textbox", { name: /^Title of / }).all();
  return Promise.all(fields.map((field) => field.inputValue()));
}

const listReads = (driver, expected) => expect(async () => assert.deepEqual(await titles(driver), expected));

test("a kept plan that is not open is renamed, and opens by its new title", async () => {
  const { visitor, driver } = await withTwo();
  await driver.button("Plans…").click();
  const field = driver.dialog.getByRole("textbox", { name: "Title of First", exact: true });
  await field.fill("Harbour");
  await field.press("Enter");
  await driver.dialog.getByRole("button", { name: "Open Harbour", exact: true }).waitFor();
  await listReads(driver, ["Second", "Harbour"]);
  await driver.dialog.getByRole("button", { name: "Open Harbour", exact: true }).click();
  await driver.card("Lamp").waitFor();
  await expect(async () => assert.match(await driver.page.title(), /^Harbour/));
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.card("Lamp").waitFor();
  await expect(async () => assert.match(await driver.page.title(), /^Harbour/));
  await visitor.leave();
});

test("the open plan renamed in the list is a step that can be taken back", async () => {
  const { visitor, driver } = await withTwo();
  await driver.button("Plans…").click();
  const field = driver.dialog.getByRole("textbox", { name: "Title of Second", exact: true });
  await field.fill("Workshop");
  await field.press("Enter");
  await expect(async () => assert.match(await driver.page.title(), /^Workshop/));
  await driver.readDialog();
  await driver.button("Undo").click();
  await expect(async () => assert.match(await driver.page.title(), /^Second/));
  await visitor.leave();
});

test("a plan is deleted only after a question, and is gone after a reload", async () => {
  const { visitor, driver } = await withTwo();
  await driver.button("Plans…").click();
  const deletion = driver.dialog.getByRole("button", { name: "Delete First", exact: true });
  await deletion.click();
  await driver.dialog.getByRole("group", { name: "Delete?" }).getByRole("button", { name: "Keep" }).click();
  await listReads(driver, ["Second", "First"]);
  await deletion.click();
  await driver.dialog.getByRole("button", { name: "Delete for good: First", exact: true }).click();
  await listReads(driver, ["Second"]);
  await driver.readDialog();
  await driver.card("Fan").waitFor();
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.card("Fan").waitFor();
  await driver.button("Plans…").click();
  await listReads(driver, ["Second"]);
  await visitor.leave();
});

test("the open plan deleted gives way to the next, and after the last there is an empty board", async () => {
  const { visitor, driver } = await withTwo();
  for (const [title, then] of [["Second", () => driver.card("Lamp").waitFor()], ["First", () => driver.hasCounts(0, 0)]]) {
    await driver.button("Plans…").click();
    await driver.dialog.getByRole("button", { name: `Delete ${title}`, exact: true }).click();
    await driver.dialog.getByRole("button", { name: `Delete for good: ${title}`, exact: true }).click();
    await driver.readDialog();
    await then();
  }
  await driver.page.getByRole("heading", { name: "An empty board" }).waitFor();
  await visitor.leave();
});

test("a damaged list of plans is made anew from the plans, and the page says so", async () => {
  const { visitor, driver } = await withTwo();
  await driver.isKept();
  await driver.page.evaluate(() => {
    const name = Object.keys(localStorage).find((key) => key.endsWith(":plans"));
    localStorage.setItem(name, localStorage.getItem(name).slice(0, 20));
  });
  await driver.page.reload();
  await visitor.started(driver.page);
  const [heading, said] = await driver.readDialog();
  assert.equal(heading, "The list of plans was damaged");
  assert.match(said, /made anew from the plans themselves: 2 are there/);
  await driver.card("Fan").waitFor();
  await driver.placePart("Lamp", [0.2, 0.3]);
  await driver.isKept();
  await driver.button("Plans…").click();
  await listReads(driver, ["Second", "First"]);
  await driver.dialog.getByRole("button", { name: "Open First", exact: true }).click();
  await driver.hasCounts(1, 0);
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.hasCounts(1, 0);
  await driver.dialog.waitFor({ state: "detached" });
  await visitor.leave();
});

test("plans without a title are numbered, and the list says how many parts each has and when it was changed", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.5, 0.3]);
  await driver.isKept();
  await driver.newPlan();
  await driver.placePart("Fan", [0.3, 0.3]);
  await driver.placePart("Lamp", [0.7, 0.3]);
  await driver.isKept();
  await driver.button("Plans…").click();
  const rows = driver.dialog.getByRole("listitem");
  await expect(async () => assert.equal(await rows.count(), 2));
  await driver.dialog.getByRole("button", { name: "Open now: Untitled 2", exact: true }).waitFor();
  assert.match(await rows.nth(0).textContent(), /2 parts, \d{4}-\d\d-\d\d \d\d:\d\d/);
  assert.match(await rows.nth(1).textContent(), /1 part, \d{4}-\d\d-\d\d \d\d:\d\d/);
  await driver.dialog.getByRole("button", { name: "Open Untitled", exact: true }).click();
  await driver.card("Lamp").waitFor();
  await driver.hasCounts(1, 0);
  await visitor.leave();
});
