// The cable schedule and the order of work: cables listed, found on the board and taken away; steps ticked off, taken back,
// kept over a reload and over a change of the plan, printed, and readings that differ handed over.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver, buildingOnPhone } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const inDialog = (driver, name) => driver.dialog.getByRole("button", { name, exact: true });
const tab = (driver, name) => driver.dialog.getByRole("tab", { name, exact: true });
const step = (driver, says) => driver.dialog.getByRole("checkbox", { name: says });
const saysDone = (driver, text) => driver.dialog.getByText(text, { exact: true }).waitFor();
const isTicked = (driver, says, is) => expect(async () => assert.equal(await step(driver, says).isChecked(), is));

async function openTab(driver, name) {
  await driver.button("Build…").click();
  await driver.page.getByRole("dialog", { name: "Build this plan" }).waitFor();
  await tab(driver, name).click();
}

async function close(driver) {
  await inDialog(driver, "Close").click();
  await driver.dialog.waitFor({ state: "hidden" });
}

/** A visitor with an example and a tab of the window open. */
async function building(example, name, options = {}) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  await openTab(driver, name);
  return { visitor, driver };
}

test("every wire is listed with its ends and the most that it carries, a click shows it on the board, and its details say the same", async () => {
  const { visitor, driver } = await building("Dusk lamp", "Cables");
  const table = driver.dialog.getByRole("table", { name: "Cables" });
  await table.waitFor();
  assert.equal(await table.getByRole("row").count(), 7);
  const row = table.getByRole("row", { name: /^Cable 4/ });
  for (const text of ["Shelf battery out", "Bunk heater in"]) await row.getByText(text, { exact: true }).waitFor();
  assert.match((await row.getByRole("cell").allTextContents())[2], /\d u$/);
  await assertAccessible(driver.page);
  await driver.dialog.getByRole("checkbox", { name: "Numbers on the board" }).check();
  await row.getByText("Bunk heater in").click();
  await driver.dialog.waitFor({ state: "hidden" });
  await driver.details.getByRole("heading", { name: "Wire" }).waitFor();
  const said = (term) => driver.details.locator(`dt:text-is("${term}") + dd`);
  await expect(async () => assert.equal(await said("Cable").textContent(), "4"));
  await expect(async () => assert.match(await said("At the most").textContent(), /^\d+ u, first at /));
  await driver.paper.locator(".wire-label", { hasText: /^#4: / }).first().waitFor();

  // The numbers stay chosen; without the choice they go.
  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.paper.locator(".wire-label", { hasText: /^#/ }).first().waitFor();
  await openTab(driver, "Cables");
  await driver.dialog.getByRole("checkbox", { name: "Numbers on the board" }).uncheck();
  await close(driver);
  await expect(async () => assert.equal(await driver.paper.locator(".wire-label", { hasText: /^#/ }).count(), 0));
  await visitor.leave();
});

test("the schedule goes away as a table and as a text; a plan without wires says what to do", async () => {
  const { visitor, driver } = await building("Dusk lamp", "Cables");
  await driver.dialog.getByRole("table", { name: "Cables" }).waitFor();
  const download = driver.page.waitForEvent("download");
  await inDialog(driver, "Save as a table").click();
  const file = await download;
  assert.equal(file.suggestedFilename(), "Dusk lamp.cables.csv");
  const lines = (await readFile(await file.path(), "utf8")).split("\r\n");
  assert.match(lines[0], /^number,wire,from,from part,to,to part,most \(steps\),at,metres/);
  assert.match(lines[4], /^4,w4,p3\.out,Shelf battery,p4\.in,Bunk heater,/);
  await inDialog(driver, "Copy as text").click();
  await driver.dialog.getByText("The schedule is copied as text.").waitFor();
  const text = await driver.page.evaluate(() => navigator.clipboard.readText());
  assert.match(text, /^ +4 +w4 +Shelf battery out +Bunk heater in +/m);
  await close(driver);
  await driver.isKept();
  await driver.newPlan();
  await driver.placePart("Lamp", [0.5, 0.4]);
  await openTab(driver, "Cables");
  await driver.dialog.getByText(/^This plan has no wires yet\. Draw one/).waitFor();
  await visitor.leave();
});

test("steps are ticked by click and by Space, kept over a reload, and taken back one by one", async () => {
  const { visitor, driver } = await building("Dusk lamp", "Order of work");
  await saysDone(driver, "0 of 16 done.");
  await driver.dialog.getByText(/are laid last, so nothing in it is live until then\.$/).waitFor();
  await driver.dialog.getByText(/^Checks say what is seen at 12:00 of day 1 where the base has run since midnight/).waitFor();
  await driver.dialog.getByRole("heading", { name: "Branch 1: Roof panel, Dusk tap, Shelf battery" }).waitFor();
  await step(driver, "Place Roof panel").check();
  await step(driver, "Place Dusk tap").focus();
  await driver.page.keyboard.press("Space");
  await saysDone(driver, "2 of 16 done.");
  const { width, height } = await step(driver, "Place Dusk tap").boundingBox();
  assert.ok(width >= 24 && height >= 24, `${width} by ${height}`);
  await assertAccessible(driver.page);
  await inDialog(driver, "Next open step").click();
  await expect(async () => assert.ok(await step(driver, "Place Shelf battery").evaluate((box) => box === document.activeElement)));

  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await tab(driver, "Order of work").waitFor();
  await saysDone(driver, "2 of 16 done.");
  await isTicked(driver, "Place Dusk tap", true);
  // The last tick can be taken back after a reload too, by button and by key.
  await inDialog(driver, "Take back the last tick").click();
  await isTicked(driver, "Place Dusk tap", false);
  await isTicked(driver, "Place Roof panel", true);
  await step(driver, "Place Dusk tap").focus();
  await driver.page.keyboard.press("Control+z");
  await saysDone(driver, "0 of 16 done.");
  assert.ok(await inDialog(driver, "Take back the last tick").isDisabled());
  await close(driver);
  await driver.hasCounts(6, 6);
  await visitor.leave();
});

test("a changed plan keeps the ticks of the steps that are still the same", async () => {
  const { visitor, driver } = await building("Dusk lamp", "Order of work");
  await saysDone(driver, "0 of 16 done.");
  for (const says of ["Place Roof panel", "Place Dusk lamp", "Wire Dusk relay (out) to Dusk lamp", "Place Bunk heater"]) await step(driver, says).check();
  await saysDone(driver, "4 of 16 done.");
  await close(driver);
  await driver.choose("Dusk lamp");
  await driver.page.keyboard.press("Delete");
  await openTab(driver, "Order of work");
  await saysDone(driver, "2 of 14 done.");
  await close(driver);
  await driver.button("Undo").click();
  await openTab(driver, "Order of work");
  await saysDone(driver, "4 of 16 done.");
  await inDialog(driver, "Untick all").click();
  await saysDone(driver, "0 of 16 done.");
  await inDialog(driver, "Take back the last tick").click();
  await saysDone(driver, "4 of 16 done.");
  await visitor.leave();
});

test("checks are told for the time that is entered, which stays; a wrong one is told", async () => {
  const { visitor, driver } = await building("Dusk lamp", "Order of work");
  await driver.dialog.getByText("Dusk lamp is off", { exact: true }).waitFor();
  const time = driver.dialog.getByRole("textbox", { name: "Time at which you check" });
  assert.equal(await time.inputValue(), "12:00");
  await time.fill("late");
  await time.press("Enter");
  await driver.dialog.getByText("“late” is no time of day: enter one from 00:00 to 24:00.").waitFor();
  await time.fill("21");
  await time.press("Tab");
  await driver.dialog.getByText("Dusk lamp runs", { exact: true }).waitFor();
  assert.equal(await time.inputValue(), "21:00");
  await step(driver, "Check: at 21:00").last().check();
  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await tab(driver, "Order of work").waitFor();
  await driver.dialog.getByText("Dusk lamp runs", { exact: true }).waitFor();
  await time.fill("12:00");
  await time.press("Tab");
  // A branch that was checked stays so at another time.
  await driver.dialog.getByText("Dusk lamp is off", { exact: true }).waitFor();
  assert.ok(await step(driver, "Check: at 12:00").last().isChecked());
  await visitor.leave();
});

test("a reading that differs is handed over: of a load at once, of a battery and a meter by what was seen", async () => {
  const { visitor, driver } = await building("Dusk lamp", "Order of work");
  await inDialog(driver, "My reading differs: Dusk lamp").click();
  await driver.dialog.getByText("You read: runs.").waitFor();
  await driver.dialog.getByText("Dusk lamp: runs at 12:00 is entered in Faults.").waitFor();
  // With the lamp's branch all is built, with the battery's only a part.
  const ofPart = driver.dialog.getByText(/^Only a part of the plan stands at this step, but fault finding reckons with all of it\./);
  assert.equal(await ofPart.count(), 0);
  const battery = inDialog(driver, "My reading differs: Shelf battery").first();
  await battery.click();
  assert.equal(await battery.getAttribute("aria-expanded"), "true");
  await driver.dialog.getByText(/^Fault finding does not compare the percentage/).waitFor();
  await ofPart.waitFor();
  await assertAccessible(driver.page);
  await inDialog(driver, "falls").click();
  await driver.dialog.getByText("You read: falls.").first().waitFor();
  await close(driver);

  await driver.openFile({
    format: "duskline/plan", version: 1, book: "outpost",
    parts: [{ id: "p1", type: "generator", at: [0, 0] }, { id: "p2", type: "meter", name: "Jetty meter", at: [240, 0] }, { id: "p3", type: "lamp", at: [480, 0] }],
    wires: [{ id: "w1", from: "p1.out", to: "p2.in" }, { id: "w2", from: "p2.out", to: "p3.in" }],
  });
  await driver.hasCounts(3, 2);
  await openTab(driver, "Order of work");
  await inDialog(driver, "My reading differs: Jetty meter").click();
  const field = driver.dialog.getByRole("textbox", { name: "Jetty meter shows, in u" });
  await field.fill("some");
  await field.press("Enter");
  await driver.dialog.getByText("“some” can't be what the meter shows: enter a number from 0 u, in steps of 1 u.").waitFor();
  await field.fill("0");
  await inDialog(driver, "Hand over").click();
  await driver.dialog.getByText("You read: 0 u.").waitFor();
  await visitor.leave();
});

test("the steps alone are printed, as a numbered list with boxes", async () => {
  const { visitor, driver } = await building("Dusk lamp", "Order of work");
  const { page } = driver;
  await saysDone(driver, "0 of 16 done.");
  await page.evaluate(() => { window.print = () => { window.wasPrinted = true; }; });
  await inDialog(driver, "Print the steps").click();
  await page.waitForFunction(() => window.wasPrinted);
  await page.emulateMedia({ media: "print" });
  const sheet = page.locator(".print-sheet");
  assert.equal(await sheet.getByRole("heading", { level: 1 }).textContent(), "Dusk lamp: order of work");
  assert.equal(await sheet.locator(".print-steps tr").count(), 16);
  assert.equal(await sheet.locator(".print-box span").count(), 16);
  await sheet.getByText("Place Roof panel (Large sun panel).").waitFor();
  for (const says of [/^16 steps in \d+ branches\./, /so nothing in it is live until then\./, /each battery then held what the plan has it start with\.$/]) {
    await sheet.getByText(says).waitFor();
  }
  assert.equal(await sheet.locator("figure").count(), 0);
  const seen = await page.evaluate(() => [...document.querySelectorAll("button, input")].filter((e) => e.checkVisibility()).length);
  assert.equal(seen, 0, "tools are printed");
  await page.evaluate(() => window.dispatchEvent(new Event("afterprint")));
  await sheet.waitFor({ state: "detached" });
  await page.emulateMedia({ media: "screen" });
  await visitor.leave();
});

for (const theme of ["light", "dark"]) {
  test(`on a phone, ${theme}, steps are large, cables are cards, and nothing is wider than the screen`, async () => {
    const { visitor, driver } = await buildingOnPhone(station, theme, "Kittiwake Light", "Order of work");
    await driver.dialog.getByText(/^Place East roof panels \(2 × Large sun panel\)/).tap();
    await expect(async () => assert.ok(await step(driver, "Place East roof panels").isChecked()));
    const size = await driver.dialog.locator(".step > label").first().evaluate((label) => parseFloat(getComputedStyle(label).fontSize));
    assert.ok(size >= 16, `${size} px`);
    await driver.dialogFitsPhone([driver.dialog.locator(".step > label").first()]);
    await tab(driver, "Cables").tap();
    const table = driver.dialog.getByRole("table", { name: "Cables" });
    await table.waitFor();
    assert.ok(await table.getByRole("row").count() > 30);
    await table.getByText("Most").nth(1).waitFor();
    await driver.dialogFitsPhone();
    await visitor.leave();
  });
}

test("on a phone a reload in the middle of the work leads back to the next open step, and after the window was closed to the board", async () => {
  const { visitor, driver } = await buildingOnPhone(station, "light", "Kittiwake Light", "Order of work");
  const places = driver.dialog.getByRole("checkbox", { name: /Place / });
  await places.first().waitFor();
  const boxes = driver.dialog.locator(".step > label > input");
  for (let at = 0; at < 9; at += 1) await boxes.nth(at).check();
  // A phone's board shows a part of the plan alone.
  await expect(async () => assert.equal((await driver.kept())[await driver.openKey()].parts.length, 33));
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.page.getByRole("dialog", { name: "Build this plan" }).waitFor();
  assert.equal(await tab(driver, "Order of work").getAttribute("aria-selected"), "true");
  await expect(async () => assert.ok(await boxes.nth(9).evaluate((box) => box === document.activeElement)));
  assert.ok(await driver.isInSight(boxes.nth(9)));
  await close(driver);
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.paper.locator("g.card").first().waitFor();
  assert.equal(await driver.dialog.count(), 0);
  await visitor.leave();
});

test("without a network steps are put in order and ticked, and stay", async () => {
  const visitor = await station.visitor({ offline: true });
  const first = await visitor.open();
  await first.evaluate(async () => { await navigator.serviceWorker.ready; await document.fonts.ready; });
  await first.waitForLoadState("networkidle");
  await first.close();
  await visitor.context.setOffline(true);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await openTab(driver, "Order of work");
  await step(driver, "Place Roof panel").check();
  await saysDone(driver, "1 of 16 done.");
  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await tab(driver, "Order of work").waitFor();
  await saysDone(driver, "1 of 16 done.");
  await visitor.leave();
});

test("ticks go with the plan when it is deleted for good", async () => {
  const { visitor, driver } = await building("Dusk lamp", "Order of work");
  await step(driver, "Place Roof panel").check();
  await close(driver);
  await driver.isKept();
  const kept = () => driver.page.evaluate(() => Object.keys(localStorage).filter((name) => name.includes(":ticks/")).length);
  assert.equal(await kept(), 1);
  await driver.newPlan();
  await driver.placePart("Lamp", [0.5, 0.4]);
  await driver.isKept();
  await driver.button("Plans…").click();
  await driver.dialog.getByRole("button", { name: /^Examples/ }).click();
  await driver.dialog.getByRole("button", { name: "Put into the bin: Dusk lamp" }).click();
  await driver.dialog.getByRole("button", { name: /^Bin/ }).click();
  await inDialog(driver, "Empty the bin…").click();
  await inDialog(driver, "Delete for good").click();
  await expect(async () => assert.equal(await kept(), 0));
  await visitor.leave();
});
