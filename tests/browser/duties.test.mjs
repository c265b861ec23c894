// Duties: the verdict that is seen first, on the card and in the details; gaps with their causes, which lead there; the
// old verdict kept until the new one is there; how long duties hold without sun and wind.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function opened(example, settings) {
  const visitor = await station.visitor(settings);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  return { visitor, driver };
}

const verdict = (driver) => driver.page.locator(".verdict");

async function verdictSays(driver, text) {
  await expect(async () => {
    assert.equal(await verdict(driver).locator("span").first().textContent(), text);
    assert.doesNotMatch(await verdict(driver).getAttribute("class"), / old/);
  });
}

/** The duty of this load on the log's page. */
const duty = (driver, name) => driver.log.locator(".duty", { has: driver.page.locator(".duty-name", { hasText: name }) });

/** Makes the dusk lamp a day lamp. */
async function breakIt(driver) {
  await driver.choose("Dusk relay");
  await driver.set("Contact", "make");
}

test("a duty that was just added has the focus, the first as well as the next", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await driver.choose("Shelf battery");
  assert.equal(await driver.details.getByRole("button", { name: "Add a duty" }).count(), 0);
  await driver.choose("Dusk lamp");
  const duties = driver.details.getByRole("group", { name: /^Duty \d$/ });
  const count = await duties.count();
  for (const number of [count + 1, count + 2]) {
    await driver.details.getByRole("button", { name: "Add a duty" }).click();
    await expect(async () => {
      const group = await driver.page.evaluate(() => document.activeElement.closest("[role=group]")?.ariaLabel);
      assert.equal(group, `Duty ${number}`);
    });
  }
  await visitor.leave();
});

test("the verdict is there first, on the card and in the details, and follows every edit", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await verdictSays(driver, "All 2 duties kept, for ever");
  await driver.card("Dusk lamp, Lamp: off, duties kept").waitFor();
  await breakIt(driver);
  await verdictSays(driver, "1 of 2 duties kept, for ever");
  await driver.card("Dusk lamp, Lamp: runs, duties broken").waitFor();
  assert.equal(await driver.card("Dusk lamp").locator(".verdict-flag.broken").count(), 1);
  await driver.card("Bunk heater, Heater: runs, duties kept").waitFor();
  await driver.choose("Dusk lamp");
  await driver.details.getByText(/^Broken, \d gaps?\.$/).waitFor();
  await driver.details.getByRole("button", { name: "Show why" }).click();
  await driver.log.getByRole("list", { name: "Duties" }).waitFor();
  await driver.button("Undo").click();
  await verdictSays(driver, "All 2 duties kept, for ever");
  await driver.details.getByText("Kept for ever.").waitFor();
  await visitor.leave();
});

test("a gap tells its cause, leads the cursor there and chooses the load", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await breakIt(driver);
  await verdict(driver).click();
  // What is broken stands first.
  await expect(async () => assert.deepEqual(await driver.log.locator(".duty-name").allTextContents(), ["Dusk lamp", "Bunk heater"]));
  const gap = duty(driver, "Dusk lamp").locator(".duty-gap").last();
  await expect(async () => assert.match(
    await gap.locator(".gap-cause").textContent(),
    /Dusk relay is open as its coil is dead, because Roof panel gives nothing until \d\d:\d\d/,
  ));
  const [, hour, minute] = (await gap.locator(".gap-times").textContent()).match(/^(\d\d):(\d\d)/);
  await gap.click();
  await expect(async () => assert.equal(await gap.getAttribute("aria-current"), "true"));
  await driver.details.getByRole("heading", { name: "Dusk lamp", exact: true }).waitFor();
  await driver.page.getByRole("region", { name: "Time" }).getByText(new RegExp(`^${hour}:${minute}`)).waitFor();
  assert.equal(await duty(driver, "Bunk heater").locator(".duty-gap").count(), 0);
  await assertAccessible(driver.page);
  await visitor.leave();
});

test("while a check is under way the old verdict stays, marked as of the earlier plan", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await verdictSays(driver, "All 2 duties kept, for ever");
  await driver.page.evaluate(() => {
    window.seen = [];
    const line = document.querySelector(".verdict");
    const note = () => window.seen.push([line.classList.contains("old"), line.querySelector("span").textContent]);
    new MutationObserver(note).observe(line, { attributes: true, subtree: true, childList: true, characterData: true });
  });
  await breakIt(driver);
  await verdictSays(driver, "1 of 2 duties kept, for ever");
  const seen = await driver.page.evaluate(() => window.seen);
  assert.ok(seen.some(([old, text]) => old && text === "All 2 duties kept, for ever"), JSON.stringify(seen));
  assert.ok(seen.every(([, text]) => text !== "" && !text.startsWith("Checking")), JSON.stringify(seen));
  // A part that is only moved changes no verdict: nothing is checked.
  await driver.page.evaluate(() => { window.seen = []; });
  await driver.card("Bunk heater").focus();
  await driver.page.keyboard.press("ArrowUp");
  await driver.page.waitForTimeout(600);
  assert.deepEqual(await driver.page.evaluate(() => window.seen), []);
  await visitor.leave();
});

test("how long duties hold without sun and wind, from the cursor and at the worst", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await verdict(driver).click();
  const pane = driver.log.getByRole("region", { name: "Without sun and wind" });
  const cells = () => pane.getByRole("row", { name: /^Bunk heater/ }).getByRole("cell").allTextContents();
  await expect(async () => assert.match((await cells())[1], /^8 h 50 min from day 2, 07:36$/));
  await pane.getByText(/^A single day without sun is too much: if day 1 has none, /).waitFor();
  await pane.getByText(/^All \d+ starts of day 2 at which something changes/).waitFor();
  const heads = pane.getByRole("columnheader", { name: /^From the cursor, / });
  await driver.setTime("Midnight");
  await expect(async () => assert.match((await cells())[0], /^\d+ h( \d+ min)?$/));
  assert.equal(await heads.textContent(), "From the cursor, day 1, 00:00");
  const midnight = (await cells())[0];
  await driver.setTime("Noon");
  await expect(async () => assert.match((await cells())[0], /^\d+ h( \d+ min)?$/));
  assert.notEqual((await cells())[0], midnight);
  await pane.getByRole("row", { name: /^Bunk heater/ }).getByRole("button").click();
  await expect(async () => assert.equal((await cells())[0], "8 h 50 min"));
  await visitor.leave();
});

test("a duty may have several conditions, which are chosen one after the other", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await driver.choose("Dusk lamp");
  const own = driver.details.getByRole("group", { name: "Duty 1", exact: true });
  const first = own.getByLabel("Must run", { exact: true });
  const more = own.getByLabel("And", { exact: true });
  assert.equal(await first.inputValue(), "dark");
  await more.selectOption("clock");
  await own.getByLabel("From", { exact: true }).waitFor();
  await expect(async () => assert.equal(await more.count(), 2));
  await assertAccessible(driver.page);
  // What may be chosen next is neither what is there already nor always.
  const left = await more.last().locator("option").evaluateAll((all) => all.map((option) => option.value));
  assert.deepEqual(left, ["", "light", "home", "away"]);
  await more.first().selectOption("");
  await expect(async () => assert.equal(await more.count(), 1));
  assert.equal(await own.getByLabel("From", { exact: true }).count(), 0);
  await first.selectOption("always");
  await expect(async () => assert.equal(await more.count(), 0));
  await driver.button("Undo").click();
  await expect(async () => assert.equal(await first.inputValue(), "dark"));
  await visitor.leave();
});

test("a plan without duties says so", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await verdictSays(driver, "All 2 duties kept, for ever");
  await driver.newPlan();
  await verdictSays(driver, "No duties yet");
  await verdict(driver).click();
  await driver.log.getByText(/^No load has a duty yet\./).waitFor();
  await visitor.leave();
});

test("on a narrow screen the verdict leads to the duties in the drawer", async () => {
  const { visitor, driver } = await opened("Dusk lamp", { size: { width: 390, height: 844 }, touch: true, theme: "dark" });
  await verdictSays(driver, "All 2 duties kept, for ever");
  await verdict(driver).tap();
  await duty(driver, "Dusk lamp").waitFor();
  await assertAccessible(driver.page);
  await visitor.leave();
});
