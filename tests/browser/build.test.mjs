// What is to be gathered for a plan: listed, entered or ticked as there, kept with the plan, taken away as a table and as a
// text, and set beside another plan.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver, buildingOnPhone } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const inDialog = (driver, name) => driver.dialog.getByRole("button", { name, exact: true });
const there = (driver, what) => driver.dialog.getByRole("textbox", { name: `There: ${what}`, exact: true });
const tick = (driver, what) => driver.dialog.getByRole("checkbox", { name: `All there: ${what}`, exact: true });
const says = (driver) => driver.dialog.getByRole("status").first();

/** The cells of a row of the list: how many are needed, and how many are missing. */
async function reads(driver, what, needed, missing) {
  const cells = there(driver, what).locator("xpath=ancestor::tr").locator("td");
  await expect(async () => {
    const said = await cells.allTextContents();
    assert.deepEqual([said[0], said[3]], [String(needed), String(missing)], what);
  });
}

async function openBuild(driver) {
  await driver.button("Build…").click();
  await driver.page.getByRole("dialog", { name: "Build this plan" }).waitFor();
}

async function close(driver) {
  await inDialog(driver, "Close").click();
  await driver.dialog.waitFor({ state: "hidden" });
}

/** A visitor with an example and the window open. */
async function gathering(example, options = {}) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  await openBuild(driver);
  return { visitor, driver };
}

test("what is there is entered and ticked, what is missing remains, and all of it is there after a reload", async () => {
  const { visitor, driver } = await gathering("Kittiwake Light");
  await reads(driver, "Lamp", 4, 4);
  await reads(driver, "Battery rack", 3, 3);
  await reads(driver, "copper", 97, 97);
  const { width, height } = await tick(driver, "Lamp").boundingBox();
  assert.ok(width >= 24 && height >= 24, `${width} by ${height}`);
  await there(driver, "Lamp").fill("1");
  await reads(driver, "Lamp", 4, 3);
  await tick(driver, "Battery rack").check();
  assert.equal(await there(driver, "Battery rack").inputValue(), "3");
  await reads(driver, "Battery rack", 3, 0);
  // Parts that are there need no materials: salt cells are for batteries alone.
  await reads(driver, "salt cells", 18, 0);
  assert.ok(await tick(driver, "salt cells").isChecked());
  await tick(driver, "glass").check();
  await reads(driver, "glass", 60, 0);
  await says(driver).getByText(/^Missing: 33 of 37 parts, and for those 8 canvas, \d+ copper/).waitFor();
  await assertAccessible(driver.page);

  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await openBuild(driver);
  await reads(driver, "Lamp", 4, 3);
  await reads(driver, "Battery rack", 3, 0);
  await reads(driver, "glass", 60, 0);

  // A part more on the board is a part more to gather.
  await close(driver);
  await driver.placePart("Lamp", [0.5, 0.9]);
  await openBuild(driver);
  await reads(driver, "Lamp", 5, 4);
  await inDialog(driver, "All parts are there").click();
  await says(driver).getByText("All parts are there.").waitFor();
  await reads(driver, "copper", 98, 0);
  await visitor.leave();
});

test("entries and ticks are put back one by one, by button and by key", async () => {
  const { visitor, driver } = await gathering("Dusk lamp");
  assert.ok(await inDialog(driver, "Put back").isDisabled());
  await there(driver, "Lamp").pressSequentially("12");
  await there(driver, "Lamp").press("Tab");
  await driver.page.keyboard.press("Shift+Tab");
  await tick(driver, "Heater").check();
  await inDialog(driver, "Nothing is there").click();
  await reads(driver, "Heater", 1, 1);
  await inDialog(driver, "Put back").click();
  await reads(driver, "Heater", 1, 0);
  await tick(driver, "Heater").focus();
  await driver.page.keyboard.press("Control+z");
  await reads(driver, "Heater", 1, 1);
  assert.equal(await there(driver, "Lamp").inputValue(), "12");
  // Both digits were typed in one go. The plan on the board is not taken back with them.
  await driver.page.keyboard.press("Control+z");
  await reads(driver, "Lamp", 1, 1);
  assert.equal(await there(driver, "Lamp").inputValue(), "");
  assert.ok(await inDialog(driver, "Put back").isDisabled());
  await close(driver);
  await driver.hasCounts(6, 6);
  await visitor.leave();
});

test("a wrong entry is told in a sentence, counts as nothing, and is not lost", async () => {
  const { visitor, driver } = await gathering("Dusk lamp");
  await there(driver, "Lamp").fill("a few");
  await driver.dialog.getByText("“a few” is not counted: enter a whole number, or nothing.").waitFor();
  await reads(driver, "Lamp", 1, 1);
  await assertAccessible(driver.page);
  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await openBuild(driver);
  assert.equal(await there(driver, "Lamp").inputValue(), "a few");
  assert.equal(await there(driver, "Lamp").getAttribute("aria-invalid"), "true");
  await there(driver, "Lamp").fill("1");
  await expect(async () => assert.equal(await driver.dialog.getByText("is not counted").count(), 0));
  await reads(driver, "Lamp", 1, 0);
  await visitor.leave();
});

test("the list goes away as a table for a spreadsheet and as a text", async () => {
  const { visitor, driver } = await gathering("Dusk lamp");
  const table = async () => {
    const download = driver.page.waitForEvent("download");
    await inDialog(driver, "Save as a table").click();
    const file = await download;
    assert.equal(file.suggestedFilename(), "Dusk lamp.gather.csv");
    return (await readFile(await file.path(), "utf8")).split("\r\n");
  };
  let lines = await table();
  assert.equal(lines[0], "kind,type,label,amount");
  assert.ok(lines.includes("part,lamp,Lamp,1") && lines.includes("material,copper,copper,16"), lines.join("\n"));
  await tick(driver, "Lamp").check();
  lines = await table();
  assert.equal(lines[0], "kind,type,label,amount,missing");
  assert.ok(lines.includes("part,lamp,Lamp,1,0") && lines.includes("part,tap,Tap,1,1"), lines.join("\n"));
  await inDialog(driver, "Copy as text").click();
  await driver.dialog.getByText("The list is copied as text.").waitFor();
  const text = await driver.page.evaluate(() => navigator.clipboard.readText());
  assert.match(text, /^Lamp +1 +0$/m);
  assert.match(text, /^6 parts in all, 6 wires, stage 2\.$/m);

  // Where the page may not use the clipboard the text stands there to be copied.
  await visitor.context.clearPermissions();
  await driver.page.evaluate(() => { navigator.clipboard.writeText = () => Promise.reject(new Error("no")); });
  await inDialog(driver, "Copy as text").click();
  const field = driver.dialog.getByRole("textbox", { name: "The list as text" });
  assert.equal(await field.inputValue(), text);
  await assertAccessible(driver.page);
  await visitor.leave();
});

test("the lists of another kept plan and of a variant stand beside it, with the difference in each row", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("First light");
  await driver.isKept();
  await driver.newPlan();
  await driver.placePart("Lamp", [0.3, 0.3]);
  await driver.setTitle("Second");
  await driver.openLogPage("Compare");
  await driver.log.getByLabel("Keep the plan as a variant").fill("One lamp");
  await driver.log.getByRole("button", { name: "Keep", exact: true }).click();
  await driver.placePart("Heater", [0.7, 0.3]);
  await driver.isKept();
  await openBuild(driver);
  const choice = driver.dialog.getByRole("combobox", { name: "Compare with" });
  const row = (what) => driver.dialog.getByRole("region", { name: "Both plans" }).getByRole("row", { name: new RegExp(`^${what} `) });
  const cells = async (what, expected) => expect(async () => assert.deepEqual(await row(what).getByRole("cell").allTextContents(), expected));
  await choice.selectOption("Variant One lamp");
  await cells("Lamp", ["1", "1", "0"]);
  await cells("Heater", ["1", "0", "−1"]);
  await cells("Wires", ["0", "0", "0"]);
  await assertAccessible(driver.page);
  await choice.selectOption("First light");
  await cells("Battery", ["0", "1", "+1"]);
  await choice.selectOption("no other plan");
  await expect(async () => assert.equal(await driver.dialog.getByRole("region", { name: "Both plans" }).count(), 0));
  await visitor.leave();
});

test("each plan has its own entries; what it does not need any more is told, and goes with the plan", async () => {
  const { visitor, driver } = await gathering("Dusk lamp");
  await there(driver, "Heater").fill("2");
  await close(driver);
  await driver.choose("Bunk heater");
  await driver.page.keyboard.press("Delete");
  await openBuild(driver);
  await driver.dialog.getByText("Heater: 2").waitFor();
  await close(driver);
  await driver.isKept();
  await driver.newPlan();
  await driver.placePart("Heater", [0.5, 0.4]);
  await openBuild(driver);
  await reads(driver, "Heater", 1, 1);
  await close(driver);
  await driver.isKept();
  const stocks = () => driver.page.evaluate(() => Object.keys(localStorage).filter((name) => name.includes(":stock/")).length);
  assert.equal(await stocks(), 1);
  await driver.button("Plans…").click();
  await driver.dialog.getByRole("button", { name: /^Your plans/ }).click();
  await driver.dialog.getByRole("button", { name: "Put into the bin: Dusk lamp" }).click();
  await driver.dialog.getByRole("button", { name: /^Bin/ }).click();
  assert.equal(await stocks(), 1);
  await inDialog(driver, "Empty the bin…").click();
  await inDialog(driver, "Delete for good").click();
  await expect(async () => assert.equal(await stocks(), 0));
  await visitor.leave();
});

test("a key opens the window from the board and not from a field; a plan without parts says what to do", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const search = driver.page.getByPlaceholder("Search parts");
  await search.pressSequentially("b");
  assert.equal(await driver.dialog.count(), 0);
  await search.fill("");
  await driver.button("Keys").click();
  await driver.dialog.getByText("what is to be built, and gathered for it").waitFor();
  await driver.page.keyboard.press("Escape");
  await driver.dialog.waitFor({ state: "hidden" });
  await driver.paper.focus();
  await driver.page.keyboard.press("b");
  await driver.dialog.getByText(/^This plan has no parts yet\. Drag some/).waitFor();
  const tab = driver.dialog.getByRole("tab", { name: "Gather" });
  assert.equal(await tab.getAttribute("aria-selected"), "true");
  await assertAccessible(driver.page);
  await driver.page.keyboard.press("Escape");
  await driver.dialog.waitFor({ state: "hidden" });
  await visitor.leave();
});

for (const theme of ["light", "dark"]) {
  test(`on a phone, ${theme}, everything is reached with a finger and nothing is wider than the screen`, async () => {
    const { visitor, driver } = await buildingOnPhone(station, theme, "Kittiwake Light", "Gather");
    await tick(driver, "Lamp").tap();
    await reads(driver, "Lamp", 4, 0);
    await tick(driver, "Lamp").tap();
    await reads(driver, "Lamp", 4, 4);
    await there(driver, "Tap").tap();
    await driver.page.keyboard.type("9");
    await reads(driver, "Tap", 2, 0);
    await driver.dialogFitsPhone([tick(driver, "Tap").locator("xpath=.."), there(driver, "Tap")]);
    await visitor.leave();
  });
}

test("the tab that was open last is open at the next visit, and the help begins at its beginning", async () => {
  const { visitor, driver } = await gathering("Dusk lamp");
  await driver.dialog.getByRole("tab", { name: "Cables" }).click();
  await close(driver);
  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  assert.equal(await driver.dialog.count(), 0, "nobody was at work");
  await openBuild(driver);
  assert.equal(await driver.dialog.getByRole("tab", { name: "Cables" }).getAttribute("aria-selected"), "true");
  await close(driver);
  await driver.page.setViewportSize({ width: 1000, height: 600 });
  await driver.paper.focus();
  await driver.page.keyboard.press("?");
  const heading = driver.dialog.getByRole("heading", { name: "Keys and gestures" });
  await expect(async () => assert.ok(await heading.evaluate((heading) => heading === document.activeElement)));
  assert.ok(await driver.dialog.evaluate((dialog) => dialog.scrollHeight > dialog.clientHeight && dialog.scrollTop === 0));
  assert.ok(await driver.isInSight(heading));
  await assertAccessible(driver.page);
  await visitor.leave();
});

test("two tabs with one plan have the same entries", async () => {
  const { visitor, driver } = await gathering("Dusk lamp");
  await driver.isKept();
  const other = new PageDriver(await visitor.open());
  await other.hasCounts(6, 6);
  await openBuild(other);
  await there(driver, "Lamp").fill("1");
  await reads(other, "Lamp", 1, 0);
  await visitor.leave();
});

test("without a network everything works", async () => {
  const visitor = await station.visitor({ offline: true });
  const first = await visitor.open();
  await first.evaluate(async () => { await navigator.serviceWorker.ready; await document.fonts.ready; });
  await first.waitForLoadState("networkidle");
  await first.close();
  await visitor.context.setOffline(true);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await openBuild(driver);
  await tick(driver, "Lamp").check();
  await reads(driver, "Lamp", 1, 0);
  const download = driver.page.waitForEvent("download");
  await inDialog(driver, "Save as a table").click();
  await download;
  await visitor.leave();
});
