// Fault finding: what was read off a base as it was built is typed in, the single faults that explain all of it are named,
// and what to read next is offered.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver, buildingOnPhone } from "./page-driver.mjs";
import { base } from "../bench/base.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const inDialog = (driver, name) => driver.dialog.getByRole("button", { name, exact: true });
const rows = (driver) => driver.dialog.getByRole("group", { name: /^Reading \d+$/ });
const row = (driver, number) => driver.dialog.getByRole("group", { name: `Reading ${number}`, exact: true });
const field = (driver, number, name) => row(driver, number).getByLabel(name, { exact: true });
const faults = (driver) => driver.dialog.getByRole("list", { name: "Faults that explain the readings" }).getByRole("button");
const outcome = (driver, says) => driver.dialog.getByText(says).waitFor();

async function openFaults(driver) {
  await driver.button("Build…").click();
  const tab = driver.dialog.getByRole("tab", { name: "Faults", exact: true });
  await tab.click();
  await expect(async () => assert.equal(await tab.getAttribute("aria-selected"), "true"));
}

async function close(driver) {
  await inDialog(driver, "Close").click();
  await driver.dialog.waitFor({ state: "hidden" });
}

/** Adds a reading of day 1. */
async function read(driver, what, shows, time) {
  const before = await rows(driver).count();
  await inDialog(driver, "Add a reading").click();
  const number = before + 1;
  assert.equal(await field(driver, number, "Time").getAttribute("placeholder"), "e.g. 21:00");
  await field(driver, number, "What").selectOption(what);
  await field(driver, number, "Shows").selectOption(shows);
  await field(driver, number, "Time").fill(time);
}

/** A visitor with an example and the tab open. */
async function finding(example = "Dusk lamp", options = {}) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  await openFaults(driver);
  return { visitor, driver };
}

/** Waits until the row says this of the plan as it is drawn. */
const planSays = (driver, number, says) => row(driver, number).getByText(says, { exact: true }).waitFor();

test("two wires exchanged behind the dusk relay are named from two readings, shown on the board, and kept over a reload", async () => {
  const { visitor, driver } = await finding();
  await driver.dialog.getByText(/^Add what you read off the base as you built it/).waitFor();
  await assertAccessible(driver.page);
  // Built: the battery feeds the lamp straight, and the relay the heater.
  await read(driver, "Bunk heater", "off", "12:00");
  await planSays(driver, 1, "The plan says it runs.");
  await read(driver, "Dusk lamp", "runs", "12:00");
  await planSays(driver, 2, "The plan says it is off.");
  await outcome(driver, "The plan as it is drawn does not explain all readings. One single fault does:");
  await expect(async () => assert.deepEqual(await faults(driver).allTextContents(), [
    "Two cables are exchanged: cable 4 from Shelf battery (out) ends at Dusk lamp (in), cable 6 from Dusk relay (out) at Bunk heater (in). Change these two ends over.",
  ]));
  await assertAccessible(driver.page);

  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await openFaults(driver);
  assert.equal(await rows(driver).count(), 2);
  assert.equal(await field(driver, 1, "Time").inputValue(), "12:00");
  assert.equal(await field(driver, 2, "Shows").inputValue(), "runs");
  await faults(driver).getByText(/^Two cables are exchanged/).click();
  await driver.dialog.waitFor({ state: "hidden" });
  await driver.details.getByRole("heading", { name: "2 wires", exact: true }).waitFor();
  // The sentence stands over the board, with the way back to the list.
  const note = driver.page.locator(".board-note");
  await note.getByText(/^Two cables are exchanged: cable 4 from/).waitFor();
  await assertAccessible(driver.page);
  await note.getByRole("button", { name: "Back to the faults" }).click();
  await faults(driver).first().waitFor();
  assert.equal(await note.count(), 0);
  await faults(driver).first().click();
  await note.getByRole("button", { name: "Close" }).click();
  await expect(async () => assert.equal(await note.count(), 0));
  // The window comes back where it was.
  await driver.page.keyboard.press("b");
  await faults(driver).first().waitFor();
  await inDialog(driver, "Clear").click();
  assert.equal(await rows(driver).count(), 0);
  await inDialog(driver, "Put back").click();
  await expect(async () => assert.equal(await rows(driver).count(), 2));
  await visitor.leave();
});

test("the reading to take next is offered, begun with a press, and narrows what is named", async () => {
  const { visitor, driver } = await finding();
  // Built: the heater's loop feeds the lamp straight, and the relay itself.
  await read(driver, "Dusk relay", "open", "12:00");
  await read(driver, "Dusk lamp", "runs", "12:00");
  await outcome(driver, /4 single faults do, the likeliest first:$/);
  assert.equal(await faults(driver).count(), 4);
  const next = driver.dialog.getByText("Read next Dusk lamp on day 1 at 00:00: whatever it shows, at most 2 of these 4 faults are left then.");
  await next.waitFor();
  assert.ok(await driver.isInSight(next));
  await inDialog(driver, "Add this reading").click();
  await expect(async () => assert.equal(await rows(driver).count(), 3));
  await row(driver, 3).getByText(/^Enter what it shows\./).waitFor();
  assert.equal(await field(driver, 3, "Time").inputValue(), "00:00");
  // The keyboard is on what is to be filled in; pressed twice, it leads to the same row.
  const focused = () => driver.page.evaluate(() => document.activeElement?.id ?? "");
  const shows = await field(driver, 3, "Shows").getAttribute("id");
  await expect(async () => assert.equal(await focused(), shows));
  await inDialog(driver, "Add this reading").click();
  assert.equal(await rows(driver).count(), 3);
  await field(driver, 3, "Shows").selectOption("runs");
  await expect(async () => assert.ok((await faults(driver).count()) <= 2));
  await faults(driver).filter({ hasText: "from Bunk heater (loop) ends at Dusk lamp (in)" }).waitFor();
  await visitor.leave();
});

test("a wrong entry is told by its field and kept; what nothing explains is said with what to do", async () => {
  const { visitor, driver } = await finding();
  await read(driver, "Dusk lamp", "runs", "noon");
  const says = "“noon” is not counted: enter a time of the dial from 00:00 to 24:00, such as 21:00.";
  await row(driver, 1).getByText(says, { exact: true }).waitFor();
  assert.equal(await field(driver, 1, "Time").getAttribute("aria-invalid"), "true");
  await field(driver, 1, "Day").fill("0");
  await row(driver, 1).getByText(/^“0” is not counted: enter a whole number from 1/).waitFor();
  await assertAccessible(driver.page);
  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await openFaults(driver);
  assert.equal(await field(driver, 1, "Time").inputValue(), "noon");
  await field(driver, 1, "Day").fill("");
  await field(driver, 1, "Time").fill("12:00");
  await expect(async () => assert.equal(await driver.dialog.getByText("is not counted").count(), 0));
  // A wire is read in steps.
  await inDialog(driver, "Add a reading").click();
  await field(driver, 2, "What").selectOption("cable 6 from Dusk relay (out) to Dusk lamp (in)");
  await field(driver, 2, "Shows, in whole steps").fill("a few");
  await row(driver, 2).getByText("“a few” is not counted: enter the take of a wire in whole steps.", { exact: true }).waitFor();
  await field(driver, 2, "Shows, in whole steps").fill("900");
  await field(driver, 2, "Time").fill("12:00");
  await outcome(driver, /No single fault explains them either\. Read again what surprises you; if it is so, more than one thing is wrong\.$/);
  assert.equal(await faults(driver).count(), 0);
  // Of one thing at one time there is one reading.
  await inDialog(driver, "Remove reading 2").click();
  await expect(async () => assert.equal(await rows(driver).count(), 1));
  await read(driver, "Dusk lamp", "off", "12:00");
  await row(driver, 2).getByText(/^Another row is of the same thing at the same time/).waitFor();
  await assertAccessible(driver.page);
  await visitor.leave();
});

test("from a part that does not do what it should, by button and by key, at the moment that the board shows", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.setTime("Noon");
  await driver.choose("Dusk lamp");
  await driver.details.getByRole("button", { name: "It doesn't do what it should" }).click();
  await row(driver, 1).waitFor();
  assert.equal(await field(driver, 1, "What").evaluate((select) => select.selectedOptions[0].textContent), "Dusk lamp");
  assert.equal(await field(driver, 1, "Day").inputValue(), "1");
  assert.equal(await field(driver, 1, "Time").inputValue(), "12:00");
  await assertAccessible(driver.page);
  await close(driver);
  // A battery by key; a tap can't be read.
  await driver.choose("Shelf battery");
  await driver.page.keyboard.press("r");
  await expect(async () => assert.equal(await rows(driver).count(), 2));
  await row(driver, 2).getByText(/^Watch a battery for a while .* A percentage is not compared\.$/).waitFor();
  await close(driver);
  await driver.choose("Dusk tap");
  assert.equal(await driver.details.getByRole("button", { name: "It doesn't do what it should" }).count(), 0);
  await driver.page.keyboard.press("r");
  await driver.says(/^Choose one load, contact or battery first/);
  assert.equal(await driver.dialog.count(), 0);
  await visitor.leave();
});

test("readings belong to their plan, follow into another tab, and go with the plan", async () => {
  const { visitor, driver } = await finding();
  await read(driver, "Dusk lamp", "off", "21:00");
  await driver.isKept();
  const other = new PageDriver(await visitor.open());
  await other.hasCounts(6, 6);
  await openFaults(other);
  await expect(async () => assert.equal(await rows(other).count(), 1));
  await field(driver, 1, "Shows").selectOption("runs");
  await expect(async () => assert.equal(await field(other, 1, "Shows").inputValue(), "runs"));
  await other.page.close();
  await close(driver);
  // What the plan has no more is told by its row.
  await driver.choose("Dusk lamp");
  await driver.page.keyboard.press("Delete");
  await openFaults(driver);
  await row(driver, 1).getByText(/any more\. Choose something else, or remove this reading\.$/).waitFor();
  await close(driver);
  await driver.isKept();
  await driver.newPlan();
  await driver.placePart("Heater", [0.5, 0.4]);
  await openFaults(driver);
  assert.equal(await rows(driver).count(), 0);
  await visitor.leave();
});

test("a reading that differs from a check of the order of work stands among the readings", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.button("Build…").click();
  await driver.dialog.getByRole("tab", { name: "Order of work" }).click();
  await inDialog(driver, "My reading differs: Dusk lamp").click();
  await driver.dialog.getByText("You read: runs.").waitFor();
  await inDialog(driver, "What explains it").click();
  await planSays(driver, 1, "The plan says it is off.");
  assert.equal(await field(driver, 1, "Shows").inputValue(), "runs");
  assert.equal(await field(driver, 1, "Time").inputValue(), "12:00");
  await faults(driver).first().waitFor();
  await visitor.leave();
});

test("a large plan is searched by a button, says how far it is, can be stopped, and says when the answer is of other readings", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openFile(JSON.parse(base(208, true)));
  await driver.paper.locator("g.card").first().waitFor();
  await openFaults(driver);
  await inDialog(driver, "Add a reading").click();
  const lamp = field(driver, 1, "What").locator("optgroup[label=Loads] option").first();
  await field(driver, 1, "What").selectOption(await lamp.textContent());
  await field(driver, 1, "Shows").selectOption("runs");
  await field(driver, 1, "Time").fill("12:00");
  await driver.dialog.getByText("This plan is large, so it is not searched at every entry.").waitFor();
  // By the page itself: all may be tried before a pointer is there.
  await driver.page.evaluate(async () => {
    const button = (says) => [...document.querySelectorAll("dialog[open] button")].find((b) => b.textContent === says);
    button("Find the faults").click();
    while (!button("Stop")) await new Promise(requestAnimationFrame);
    button("Stop").click();
  });
  await driver.dialog.getByText("Stopped. There may be more to find.").waitFor();
  await inDialog(driver, "Try again").click();
  await driver.dialog.getByText(/^The plan as it is drawn /).waitFor({ timeout: 60_000 });
  await field(driver, 1, "Time").fill("13:00");
  await driver.dialog.getByText("As of your readings before the last entries.").waitFor();
  await inDialog(driver, "Find the faults").waitFor();
  await assertAccessible(driver.page);
  await visitor.leave();
});

test("by keyboard alone a reading is entered, changed and taken back", async () => {
  const { visitor, driver } = await finding();
  const { keyboard } = driver.page;
  await driver.dialog.getByRole("tab", { name: "Faults" }).focus();
  await keyboard.press("Tab");
  await keyboard.press("Enter");
  const focused = () => driver.page.evaluate(() => document.activeElement?.id ?? "");
  await expect(async () => assert.match(await focused(), /^fault-of-/));
  // The second load, and the second word.
  const chosen = (name) => field(driver, 1, name).evaluate((select) => select.selectedOptions[0].textContent);
  for (const [name, first, second] of [["What", "Bunk heater", "Dusk lamp"], ["Shows", "runs", "off"]]) {
    for (const expected of [first, second]) {
      await keyboard.press("ArrowDown");
      await expect(async () => assert.equal(await chosen(name), expected));
    }
    await keyboard.press("Tab");
  }
  await keyboard.press("Tab");
  await keyboard.type("21:00");
  await planSays(driver, 1, "The plan says it runs.");
  assert.ok((await faults(driver).count()) > 1);
  await keyboard.press("Tab");
  await keyboard.press("Enter");
  await expect(async () => assert.equal(await rows(driver).count(), 0));
  // The keyboard goes on from the button that adds one.
  await expect(async () => assert.equal(await focused(), "fault-add"));
  await keyboard.press("Control+z");
  await expect(async () => assert.equal(await rows(driver).count(), 1));
  await visitor.leave();
});

for (const theme of ["light", "dark"]) {
  test(`on a phone, ${theme}, a reading is entered with a finger and nothing is wider than the screen`, async () => {
    const { visitor, driver } = await buildingOnPhone(station, theme, "Kittiwake Light", "Faults");
    await inDialog(driver, "Add a reading").tap();
    const first = await field(driver, 1, "What").locator("optgroup[label=Loads] option").first().textContent();
    await field(driver, 1, "What").selectOption(first);
    await field(driver, 1, "Shows").selectOption("off");
    await field(driver, 1, "Time").tap();
    await driver.page.keyboard.type("12:00");
    await row(driver, 1).getByText(/^The plan says/).waitFor();
    await faults(driver).first().waitFor();
    const targets = [inDialog(driver, "Clear"), inDialog(driver, "Remove reading 1"), field(driver, 1, "Time"), faults(driver).first()];
    await driver.dialogFitsPhone(targets, 24);
    // What to read next stands ahead of the list.
    const [next, begins] = [driver.dialog.getByText(/^Read next /), faults(driver).first()];
    assert.ok((await next.boundingBox()).y < (await begins.boundingBox()).y);
    await visitor.leave();
  });
}

test("without a network faults are found", async () => {
  const visitor = await station.visitor({ offline: true });
  const first = await visitor.open();
  await first.evaluate(async () => { await navigator.serviceWorker.ready; await document.fonts.ready; });
  await first.waitForLoadState("networkidle");
  await first.close();
  await visitor.context.setOffline(true);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await openFaults(driver);
  await read(driver, "Bunk heater", "off", "12:00");
  await faults(driver).first().waitFor();
  await visitor.leave();
});
