// The plans that are kept, as cards: renamed, tagged, found, copied, put into the bin and out of it; and their versions.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
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
  // All at one moment: the list is drawn anew while one looks.
  return driver.dialog.getByRole("textbox", { name: /^Title of / }).evaluateAll((fields) => fields.map((field) => field.value));
}

const listReads = (driver, expected) => expect(async () => assert.deepEqual(await titles(driver), expected));

test("a kept plan that is not open is renamed, and opens by its new title", async () => {
  const { visitor, driver } = await withTwo();
  await driver.button("Plans…").click();
  const field = driver.dialog.getByRole("textbox", { name: "Title of First", exact: true });
  await field.fill("Harbour");
  await field.press("Enter");
  await driver.dialog.getByRole("button", { name: "Open Harbour", exact: true }).waitFor();
  // Which of the two changed later is a matter of the second in which the renaming fell.
  await expect(async () => assert.deepEqual((await titles(driver)).sort(), ["Harbour", "Second"]));
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

test("a plan goes into the bin and comes out again; what is deleted for good is gone after a reload", async () => {
  const { visitor, driver } = await withTwo();
  await driver.button("Plans…").click();
  await driver.dialog.getByRole("button", { name: "Put into the bin: First", exact: true }).click();
  await listReads(driver, ["Second"]);
  await driver.dialog.getByRole("button", { name: /^Bin/ }).click();
  await listReads(driver, ["First"]);
  await driver.dialog.getByRole("button", { name: "Take out of the bin: First", exact: true }).click();
  await listReads(driver, []);
  await driver.dialog.getByRole("button", { name: /^Your plans/ }).click();
  await listReads(driver, ["Second", "First"]);

  await driver.dialog.getByRole("button", { name: "Put into the bin: First", exact: true }).click();
  await driver.dialog.getByRole("button", { name: /^Bin/ }).click();
  await driver.dialog.getByRole("button", { name: "Empty the bin…" }).click();
  await driver.dialog.getByRole("group", { name: "Empty the bin?" }).getByRole("button", { name: "Keep" }).click();
  await listReads(driver, ["First"]);
  await driver.dialog.getByRole("button", { name: "Empty the bin…" }).click();
  await driver.dialog.getByRole("button", { name: "Delete for good" }).click();
  await listReads(driver, []);
  await driver.readDialog();
  await driver.card("Fan").waitFor();
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.card("Fan").waitFor();
  await driver.button("Plans…").click();
  await listReads(driver, ["Second"]);
  for (const store of ["plans", "facts", "entries", "versions", "undo", "pictures"]) {
    assert.equal(new Set(Object.keys(await driver.records(store)).map((key) => key.split("/")[0])).size, 1, store);
  }
  await visitor.leave();
});

test("the open plan put into the bin gives way to the next, and after the last there is an empty board", async () => {
  const { visitor, driver } = await withTwo();
  for (const [title, then] of [["Second", () => driver.card("Lamp").waitFor()], ["First", () => driver.hasCounts(0, 0)]]) {
    await driver.button("Plans…").click();
    await driver.dialog.getByRole("button", { name: `Put into the bin: ${title}`, exact: true }).click();
    await driver.readDialog();
    await then();
  }
  await driver.page.getByRole("heading", { name: "An empty board" }).waitFor();
  await visitor.leave();
});

test("what is told of the plans is made anew from them where it is gone or damaged", async () => {
  const { visitor, driver } = await withTwo();
  await driver.isKept();
  const [first, second] = await Promise.all(["First", "Second"].map(async (title) =>
    Object.entries(await driver.kept()).find(([, plan]) => plan.title === title)[0]));
  await driver.damage("facts", first, null);
  await driver.damage("facts", second, "3 x\n{");
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.card("Fan").waitFor();
  await driver.button("Plans…").click();
  await listReads(driver, ["Second", "First"]);
  await driver.dialog.getByRole("button", { name: "Open First", exact: true }).click();
  await driver.hasCounts(1, 0);
  await visitor.leave();
});

test("a plan whose text is gone is back as its newest version, and the page says so", async () => {
  const { visitor, driver } = await withTwo();
  await driver.isKept();
  const [key] = Object.entries(await driver.kept()).find(([, plan]) => plan.title === "Second");
  await driver.damage("plans", key, null);
  await driver.page.reload();
  await visitor.started(driver.page);
  const [heading, said] = await driver.readDialog();
  assert.equal(heading, "The plans kept here were put right");
  assert.match(said, /was gone; it is back as its newest version/);
  await driver.button("Plans…").click();
  await expect(async () => assert.equal((await titles(driver)).length, 2));
  await visitor.leave();
});

test("plans are found by title, tag and verdict, and copied beside themselves", async () => {
  const { visitor, driver } = await withTwo();
  await driver.button("Plans…").click();
  await driver.dialog.getByRole("textbox", { name: "Tags of First" }).fill("roof, stair");
  // By keyboard: what was entered is taken on leaving, and the next thing of the same card has the keyboard.
  await driver.page.keyboard.press("Tab");
  const focused = () => driver.page.evaluate(() => document.activeElement.getAttribute("aria-label"));
  await expect(async () => assert.equal(await driver.dialog.getByRole("option", { name: /^stair/ }).count(), 1));
  assert.equal(await focused(), "Open First");
  await driver.dialog.getByRole("combobox", { name: "Tag" }).selectOption("stair");
  await listReads(driver, ["First"]);
  await driver.dialog.getByRole("combobox", { name: "Tag" }).selectOption("");
  await driver.dialog.getByRole("searchbox", { name: "Search plans" }).fill("seco");
  await listReads(driver, ["Second"]);
  await driver.dialog.getByRole("button", { name: "Duplicate Second", exact: true }).click();
  await expect(async () => assert.deepEqual((await titles(driver)).sort(), ["Second", "Second 2"]));
  await driver.dialog.getByRole("searchbox", { name: "Search plans" }).fill("");
  await driver.dialog.getByRole("combobox", { name: "Verdict" }).selectOption("broken");
  await listReads(driver, []);
  await driver.dialog.getByText("No plan here is like that.").waitFor();
  await driver.dialog.getByRole("combobox", { name: "Verdict" }).selectOption("any");
  await driver.dialog.getByRole("combobox", { name: "Sort" }).selectOption("title");
  await listReads(driver, ["First", "Second", "Second 2"]);
  await visitor.leave();
});

test("a plan goes back to a version, and what came after stays", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.5, 0.3]);
  await driver.isKept();
  await driver.openLogPage("Compare");
  await driver.page.getByLabel("Name the plan as it is now").fill("One lamp");
  await driver.page.getByRole("region", { name: "History" }).getByRole("button", { name: "Name it" }).click();
  const versions = driver.page.getByRole("list", { name: "Versions" }).getByRole("listitem");
  const named = versions.filter({ hasText: "Version One lamp" });
  await named.waitFor();
  await driver.placePart("Fan", [0.7, 0.3]);
  await named.getByRole("button", { name: "Go back to it" }).click();
  await driver.hasCounts(1, 0);
  await expect(async () => assert.ok((await versions.count()) >= 3));
  // The newest is the one that was gone back to; before it stands how the plan was until then.
  await versions.first().getByText(/as of .* again/).waitFor();
  await versions.nth(1).getByRole("button", { name: "Go back to it" }).click();
  await driver.hasCounts(2, 0);
  await driver.button("Undo").click();
  await driver.hasCounts(1, 0);
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
  await driver.dialog.getByRole("button", { name: "Is open: Untitled 2", exact: true }).waitFor();
  assert.match(await rows.nth(0).textContent(), /2 parts, \d{4}-\d\d-\d\d \d\d:\d\d/);
  await expect(async () => assert.match(await rows.nth(0).textContent(), /no duties/));
  assert.match(await rows.nth(1).textContent(), /1 part, \d{4}-\d\d-\d\d \d\d:\d\d/);
  await driver.dialog.getByRole("button", { name: "Open Untitled", exact: true }).click();
  await driver.card("Lamp").waitFor();
  await driver.hasCounts(1, 0);
  await visitor.leave();
});

test("all plans go into one file, and come beside those of another browser", async () => {
  const { visitor, driver } = await withTwo();
  await driver.isKept();
  await driver.button("Plans…").click();
  const download = driver.page.waitForEvent("download");
  await driver.dialog.getByRole("button", { name: "Save all as one file" }).click();
  const text = await readFile(await (await download).path());
  await visitor.leave();

  const other = await station.visitor();
  const there = new PageDriver(await other.open());
  await there.placePart("Fan", [0.5, 0.3]);
  await there.setTitle("First");
  await there.isKept();
  await there.button("Plans…").click();
  await there.dialog.getByLabel("A file of plans").setInputFiles({ name: "plans.json", mimeType: "application/json", buffer: text });
  await there.page.getByRole("dialog", { name: "Plans taken in" }).getByText(/2 were added/).waitFor();
  await there.readDialog();
  await there.button("Plans…").click();
  await expect(async () => assert.deepEqual((await titles(there)).sort(), ["First", "First 2", "Second"]));
  await other.leave();
});

test("how a plan stood for a while is a version before the next edit, and an older version gets its name afterwards", async () => {
  const visitor = await station.visitor();
  await visitor.context.addInitScript(() => {
    const now = Date.now.bind(Date);
    globalThis.ahead = 0;
    Date.now = () => now() + globalThis.ahead;
  });
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.3, 0.3]);
  await driver.isKept();
  await driver.placePart("Fan", [0.7, 0.3]);
  await driver.isKept();
  // It is looked at for half a minute, and the next edit comes within the minute of the last version.
  await driver.page.evaluate(() => { globalThis.ahead = 30_000; });
  await driver.card("Fan").click();
  await driver.page.keyboard.press("Delete");
  await driver.hasCounts(1, 0);
  await driver.isKept();
  await driver.openLogPage("Compare");
  const versions = driver.log.getByRole("list", { name: "Versions" }).getByRole("listitem");
  await expect(async () => assert.ok(await versions.count() >= 2));
  const stood = versions.first();
  await stood.getByRole("button", { name: "Show on the board" }).click();
  await driver.hasCounts(2, 0);
  await stood.getByRole("button", { name: "Put back" }).click();
  await driver.hasCounts(1, 0);
  await stood.getByRole("button", { name: /^Name…/ }).click();
  await stood.getByLabel("Name for this version").fill("Both");
  await driver.page.keyboard.press("Enter");
  const named = versions.filter({ hasText: "Both" });
  await named.getByRole("button", { name: "Go back to it" }).click();
  await driver.hasCounts(2, 0);
  await visitor.leave();
});
