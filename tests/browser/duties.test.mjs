// Duties: the verdict that is seen first, on the card and in the details; gaps with their causes, which lead there; the
// old verdict kept until the new one is there; how long duties hold without sun and wind.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function opened(example, settings) {
  const visitor = await station.visitor(settings);
  const desk = new Desk(await visitor.open());
  await desk.openExample(example);
  return { visitor, desk };
}

const verdict = (desk) => desk.page.locator(".verdict");

async function verdictSays(desk, text) {
  await expect(async () => {
    assert.equal(await verdict(desk).locator("span").first().textContent(), text);
    assert.doesNotMatch(await verdict(desk).getAttribute("class"), / old/);
  });
}

/** The duty of this load on the log's page. */
const duty = (desk, name) => desk.log.locator(".duty", { has: desk.page.locator(".duty-name", { hasText: name }) });

/** Makes the dusk lamp a day lamp. */
async function breakIt(desk) {
  await desk.choose("Dusk relay");
  await desk.set("Contact", "make");
}

test("the verdict is there first, on the card and in the details, and follows every edit", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  await verdictSays(desk, "All 2 duties kept, for ever");
  await desk.card("Dusk lamp, Lamp: off, duties kept").waitFor();
  await breakIt(desk);
  await verdictSays(desk, "1 of 2 duties kept, for ever");
  await desk.card("Dusk lamp, Lamp: runs, duties broken").waitFor();
  assert.equal(await desk.card("Dusk lamp").locator(".verdict-flag.broken").count(), 1);
  await desk.card("Bunk heater, Heater: runs, duties kept").waitFor();
  await desk.choose("Dusk lamp");
  await desk.details.getByText(/^Broken, \d gaps?\.$/).waitFor();
  await desk.details.getByRole("button", { name: "Show why" }).click();
  await desk.log.getByRole("list", { name: "Duties" }).waitFor();
  await desk.button("Undo").click();
  await verdictSays(desk, "All 2 duties kept, for ever");
  await desk.details.getByText("Kept for ever.").waitFor();
  await visitor.leave();
});

test("a gap tells its cause, leads the cursor there and chooses the load", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  await breakIt(desk);
  await verdict(desk).click();
  // What is broken stands first.
  await expect(async () => assert.deepEqual(await desk.log.locator(".duty-name").allTextContents(), ["Dusk lamp", "Bunk heater"]));
  const gap = duty(desk, "Dusk lamp").locator(".duty-gap").last();
  await expect(async () => assert.match(
    await gap.locator(".gap-cause").textContent(),
    /Dusk relay is open as its coil is dead, because Roof panel gives nothing until \d\d:\d\d/,
  ));
  const [, hour, minute] = (await gap.locator(".gap-times").textContent()).match(/^(\d\d):(\d\d)/);
  await gap.click();
  await expect(async () => assert.equal(await gap.getAttribute("aria-current"), "true"));
  await desk.details.getByRole("heading", { name: "Dusk lamp", exact: true }).waitFor();
  await desk.page.getByRole("region", { name: "Time" }).getByText(new RegExp(`^${hour}:${minute}`)).waitFor();
  assert.equal(await duty(desk, "Bunk heater").locator(".duty-gap").count(), 0);
  await assertAccessible(desk.page);
  await visitor.leave();
});

test("while a check is under way the old verdict stays, marked as of the earlier plan", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  await verdictSays(desk, "All 2 duties kept, for ever");
  await desk.page.evaluate(() => {
    window.seen = [];
    const line = document.querySelector(".verdict");
    const note = () => window.seen.push([line.classList.contains("old"), line.querySelector("span").textContent]);
    new MutationObserver(note).observe(line, { attributes: true, subtree: true, childList: true, characterData: true });
  });
  await breakIt(desk);
  await verdictSays(desk, "1 of 2 duties kept, for ever");
  const seen = await desk.page.evaluate(() => window.seen);
  assert.ok(seen.some(([old, text]) => old && text === "All 2 duties kept, for ever"), JSON.stringify(seen));
  assert.ok(seen.every(([, text]) => text !== "" && !text.startsWith("Checking")), JSON.stringify(seen));
  // A part that is only moved changes no verdict: nothing is checked.
  await desk.page.evaluate(() => { window.seen = []; });
  await desk.card("Bunk heater").focus();
  await desk.page.keyboard.press("ArrowUp");
  await desk.page.waitForTimeout(600);
  assert.deepEqual(await desk.page.evaluate(() => window.seen), []);
  await visitor.leave();
});

test("how long duties hold without sun and wind, from the cursor and at the worst", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  await verdict(desk).click();
  const pane = desk.log.getByRole("region", { name: "Without sun and wind" });
  const cells = () => pane.getByRole("row", { name: /^Bunk heater/ }).getByRole("cell").allTextContents();
  await expect(async () => assert.match((await cells())[1], /^8 h 50 min from day 2, 07:36$/));
  await pane.getByText(/^Survives no day without sun; with 1 day from day 1 on, /).waitFor();
  await pane.getByText(/^Tried are all \d+ starts of day 2, which repeats from then on/).waitFor();
  const heads = pane.getByRole("columnheader", { name: /^From the cursor, / });
  await desk.setTime("Midnight");
  await expect(async () => assert.match((await cells())[0], /^\d+ h( \d+ min)?$/));
  assert.equal(await heads.textContent(), "From the cursor, day 1, 00:00");
  const midnight = (await cells())[0];
  await desk.setTime("Noon");
  await expect(async () => assert.match((await cells())[0], /^\d+ h( \d+ min)?$/));
  assert.notEqual((await cells())[0], midnight);
  await pane.getByRole("row", { name: /^Bunk heater/ }).getByRole("button").click();
  await expect(async () => assert.equal((await cells())[0], "8 h 50 min"));
  await visitor.leave();
});

test("a plan without duties says so", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  await verdictSays(desk, "All 2 duties kept, for ever");
  await desk.newPlan();
  await verdictSays(desk, "No duties yet");
  await verdict(desk).click();
  await desk.log.getByText(/^No load has a duty yet\./).waitFor();
  await visitor.leave();
});

test("on a narrow screen the verdict leads to the duties in the drawer", async () => {
  const { visitor, desk } = await opened("Dusk lamp", { size: { width: 390, height: 844 }, touch: true, theme: "dark" });
  await verdictSays(desk, "All 2 duties kept, for ever");
  await verdict(desk).tap();
  await duty(desk, "Dusk lamp").waitFor();
  await assertAccessible(desk.page);
  await visitor.leave();
});
