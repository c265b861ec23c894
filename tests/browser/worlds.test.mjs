// Worlds as things of their own: kept from a plan, followed, compared, changed, sent as a link and a file, and deleted.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const fragmentOf = (link) => link.slice(link.indexOf("#"));
const inDialog = (driver, name) => driver.dialog.getByRole("button", { name, exact: true });
const thisPlan = (driver) => driver.dialog.getByRole("region", { name: "This plan" });

async function openWorlds(driver) {
  await driver.button("Worlds…").click();
  await thisPlan(driver).waitFor();
}

async function close(driver) {
  await inDialog(driver, "Close").click();
  await driver.dialog.waitFor({ state: "hidden" });
}

/** Sets the length of the day in the details of the plan. */
async function setDay(driver, seconds) {
  await driver.clickPaper();
  const summary = driver.details.locator("summary", { hasText: /^World/ });
  const field = driver.details.getByRole("textbox", { name: /^Length of the day/ });
  if (!(await field.isVisible())) await summary.click();
  await field.fill(String(seconds));
  await field.press("Enter");
}

/** A visitor whose plan, the dusk lamp, is kept as a world called Sands and follows it. */
async function withSands(options = {}) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await openWorlds(driver);
  await thisPlan(driver).getByText("This plan follows no world").waitFor();
  await driver.dialog.getByRole("textbox", { name: "Keep its numbers as a world called" }).fill("Sands");
  await driver.page.keyboard.press("Enter");
  await thisPlan(driver).getByText("This plan follows Sands, and has its numbers.").waitFor();
  await driver.dialog.getByText("1 plan follows it: Dusk lamp.").waitFor();
  return { visitor, driver };
}

test("a plan's numbers are kept as a world that it follows; what differs is said, and taken back or over", async () => {
  const { visitor, driver } = await withSands();
  await assertAccessible(driver.page);
  await close(driver);
  await setDay(driver, 7200);
  await driver.details.getByText("This plan follows Sands, and one number differs from it.").waitFor();
  await openWorlds(driver);
  const row = thisPlan(driver).getByRole("row", { name: /^Length of the day/ });
  await row.getByRole("cell", { name: "7200" }).waitFor();
  await assertAccessible(driver.page);
  await inDialog(driver, "Take the world's numbers").click();
  await thisPlan(driver).getByText("and has its numbers").waitFor();
  await close(driver);
  await driver.button("Undo").click();
  await driver.details.getByText("one number differs").waitFor();

  // A reload keeps all of it.
  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await openWorlds(driver);
  await thisPlan(driver).getByText("one number differs").waitFor();
  await inDialog(driver, "Give the world this plan's numbers…").click();
  await inDialog(driver, "Leave it").click();
  await inDialog(driver, "Give the world this plan's numbers…").click();
  await inDialog(driver, "Change the world").click();
  await thisPlan(driver).getByText("and has its numbers").waitFor();
  await driver.dialog.getByText("A day takes 2 h.").waitFor();
  await visitor.leave();
});

test("another plan follows the world, a new one begins in it, and none of them changes with it", async () => {
  const { visitor, driver } = await withSands();
  await inDialog(driver, "New plan in Sands").click();
  await driver.dialog.waitFor({ state: "hidden" });
  await driver.hasCounts(0, 0);
  await driver.placePart("Lamp", [0.5, 0.4]);
  await driver.setTitle("Second");
  await driver.isKept();
  await setDay(driver, 600);
  await openWorlds(driver);
  await expect(async () => assert.match(await driver.dialog.textContent(), /2 plans follow it/));
  await inDialog(driver, "Give the world this plan's numbers…").click();
  await inDialog(driver, "Change the world").click();
  await driver.dialog.getByText("A day takes 10 min.").waitFor();
  await close(driver);
  await driver.openKept("Dusk lamp");
  await driver.hasCounts(6, 6);
  await openWorlds(driver);
  await thisPlan(driver).getByText("This plan follows Sands, and one number differs").waitFor();
  await inDialog(driver, "Follow no world").click();
  await thisPlan(driver).getByText("This plan follows no world").waitFor();
  await close(driver);
  await driver.button("Undo").click();
  await openWorlds(driver);
  await thisPlan(driver).getByText("one number differs").waitFor();
  await visitor.leave();
});

test("plans that follow a world are proven on its new numbers, and the report leads to the one whose lamp goes dark", async () => {
  const { visitor, driver } = await withSands();
  await inDialog(driver, "New plan in Sands").click();
  await driver.placePart("Lamp", [0.5, 0.4]);
  await driver.setTitle("Second");
  // A night ten times as long is more than the battery of the dusk lamp lasts.
  await setDay(driver, 864_000);
  await expect(async () => assert.equal((await driver.kept())[await driver.openKey()].world.day_s, 864_000));
  const before = await driver.records("plans");
  await openWorlds(driver);
  await inDialog(driver, "Give the world this plan's numbers…").click();
  await inDialog(driver, "Change the world").click();
  await driver.dialog.getByText(/2 plans follow Sands.*worse/).waitFor();
  await assertAccessible(driver.page);
  await inDialog(driver, "Report…").click();
  await driver.page.getByRole("dialog", { name: "What new numbers change" }).waitFor();
  await driver.dialog.getByText(/Dusk lamp, while it is dark/).first().waitFor();
  assert.deepEqual(await driver.records("plans"), before, "a plan was changed");
  await inDialog(driver, "Open Dusk lamp").click();
  await driver.hasCounts(6, 6);
  await driver.details.getByText("This plan follows Sands, and one number differs from it.").waitFor({ state: "attached" });
  await visitor.leave();
});

test("a world goes as a link to somebody else, and comes back changed", async () => {
  const { visitor, driver } = await withSands();
  await inDialog(driver, "Copy link to Sands").click();
  await driver.dialog.getByText(/^Link copied, \d+ characters/).waitFor();
  const link = await driver.page.evaluate(() => navigator.clipboard.readText());
  assert.match(link, /#w1\.[A-Za-z0-9_-]+$/);

  const friend = await station.visitor();
  const theirs = new PageDriver(await friend.open(fragmentOf(link)));
  await thisPlan(theirs).waitFor();
  assert.equal(new URL(theirs.page.url()).hash, "");
  await theirs.dialog.getByRole("textbox", { name: "Name of Sands" }).waitFor();
  await inDialog(theirs, "Follow Sands").click();
  await thisPlan(theirs).getByText("This plan follows Sands, and has its numbers.").waitFor();
  await close(theirs);
  await setDay(theirs, 1200);
  await openWorlds(theirs);
  await inDialog(theirs, "Give the world this plan's numbers…").click();
  await inDialog(theirs, "Change the world").click();
  await theirs.dialog.getByText("A day takes 20 min.").waitFor();
  await inDialog(theirs, "Copy link to Sands").click();
  await theirs.dialog.getByText(/^Link copied/).waitFor();
  const changed = await theirs.page.evaluate(() => navigator.clipboard.readText());
  await friend.leave();

  // The same world is nothing new; the changed one asks.
  const same = new PageDriver(await visitor.open(fragmentOf(link)));
  await same.dialog.getByText("Sands is kept here already.").waitFor();
  const other = new PageDriver(await visitor.open(fragmentOf(changed)));
  const came = other.dialog.getByRole("region", { name: "A world that came in" });
  await came.getByText("Sands came in with other numbers than are kept here.").waitFor();
  await came.getByRole("cell", { name: "1200" }).waitFor();
  await assertAccessible(other.page);
  await inDialog(other, "Keep both").click();
  await other.dialog.getByRole("textbox", { name: "Name of Sands 2" }).waitFor();
  // The first tab sees it, too.
  await driver.dialog.getByRole("textbox", { name: "Name of Sands 2" }).waitFor();
  await visitor.leave();
});

test("a world goes as a file and comes back; a damaged one is told and nothing changes", async () => {
  const { visitor, driver } = await withSands();
  const download = driver.page.waitForEvent("download");
  await inDialog(driver, "Save as a file: Sands").click();
  const file = await download;
  assert.equal(file.suggestedFilename(), "Sands.duskline-world.json");
  const world = JSON.parse(await readFile(await file.path(), "utf8"));
  assert.equal(world.name, "Sands");
  await close(driver);

  await driver.openFile({ ...world, id: "other", name: "Ledge", world: { day_s: 900 } });
  await driver.dialog.getByRole("textbox", { name: "Name of Ledge" }).waitFor();
  await driver.dialog.getByText("A day takes 15 min.").waitFor();
  await close(driver);
  await driver.openFile({ ...world, id: "bad", world: { day_s: -1 } });
  const [heading, said] = await driver.readDialog();
  assert.equal(heading, "No world");
  assert.match(said, /world\.day_s.*-1.*a number from 0\.001/);
  assert.equal(Object.keys(await driver.records("worlds")).length, 2);
  await visitor.leave();
});

test("a world is renamed and deleted; a plan that follows it keeps its numbers and can keep them as a world again", async () => {
  const { visitor, driver } = await withSands();
  const name = driver.dialog.getByRole("textbox", { name: "Name of Sands" });
  await name.fill("Skerry");
  await name.press("Enter");
  await thisPlan(driver).getByText("This plan follows Skerry, and has its numbers.").waitFor();
  await inDialog(driver, "Delete Skerry…").click();
  await inDialog(driver, "Keep").last().click();
  await inDialog(driver, "Delete Skerry…").click();
  await inDialog(driver, "Delete for good").click();
  await driver.dialog.getByText("None yet.").waitFor();
  await thisPlan(driver).getByText(/This plan follows S\w+, which is not kept in this browser/).waitFor();
  await close(driver);
  await driver.page.reload();
  await visitor.started(driver.page);
  await openWorlds(driver);
  await driver.dialog.getByText("None yet.").waitFor();
  await visitor.leave();
});

test("a world whose book lacks a part's type is not followed, and why is said", async () => {
  const { visitor, driver } = await withSands();
  const [record] = Object.values(await driver.records("worlds"));
  const world = JSON.parse(record.slice(record.indexOf("\n") + 1));
  await close(driver);
  await driver.openFile({ ...world, id: "bare-ledge", name: "Bare ledge", book: "bare" });
  await inDialog(driver, "Follow Bare ledge").click();
  await driver.dialog.getByRole("alert").getByText(/The book has no/).first().waitFor();
  await thisPlan(driver).getByText("This plan follows Sands").waitFor();
  await inDialog(driver, "What differs from Bare ledge").click();
  await driver.dialog.getByRole("row", { name: /Name of the book/ }).first().waitFor();
  await visitor.leave();
});

test("on a phone the window fits, and every button can be hit", async () => {
  const visitor = await station.visitor({ size: { width: 390, height: 844 }, touch: true });
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.button("Menu").tap();
  await driver.button("Worlds…").tap();
  await driver.dialog.getByRole("textbox", { name: "Keep its numbers as a world called" }).fill("Sands");
  await inDialog(driver, "Keep").first().tap();
  await inDialog(driver, "What differs from Sands").tap();
  await driver.dialog.getByText("Its numbers are those of this plan.").waitFor();
  await assertAccessible(driver.page);
  const wide = await driver.dialog.evaluate((dialog) => dialog.scrollWidth - dialog.clientWidth);
  assert.ok(wide <= 0, `${wide} px too wide`);
  const low = await driver.dialog.getByRole("button").evaluateAll((all) => all.filter((b) => b.offsetHeight < 40).map((b) => b.textContent));
  assert.deepEqual(low, []);
  await visitor.leave();
});
