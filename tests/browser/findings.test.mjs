// Findings and comparing: what is found is tried beside the plan, taken and taken back; variants are kept, compared,
// shown on the board and swapped in.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function opened(example, page, settings) {
  const visitor = await station.visitor(settings);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  if (settings?.touch) await driver.button("Log").click();
  await driver.openLogPage(page);
  return { visitor, driver };
}

const findings = (driver) => driver.log.getByRole("list", { name: "Findings" });
/** The finding of this kind. */
const finding = (driver, kind) => findings(driver).locator("li.finding", { has: driver.page.locator(`[data-kind="${kind}"]`) });
/** Waits until nothing is being looked for or compared. */
const rests = async (driver) => {
  await driver.log.locator("li.finding, .findings-line, table.sides").first().waitFor();
  await driver.log.locator(".under-way progress").waitFor({ state: "detached" });
};
const row = (driver, what) => driver.log.locator("table.sides tr", { has: driver.page.getByRole("rowheader", { name: what, exact: true }) });
const reads = async (driver, what, cells) =>
  expect(async () => assert.deepEqual(await row(driver, what).locator("td").allTextContents(), cells));

test("a change is tried beside the plan, put back, taken as one step and taken back", async () => {
  const { visitor, driver } = await opened("First light", "Findings");
  await rests(driver);
  const lamp = finding(driver, "needless");
  assert.match(await lamp.textContent(), /Galley lamp is needed while it is dark and runs for 11 h 59 min a day besides: 24 u·h a day\./);
  const before = await driver.read();
  await lamp.getByRole("button", { name: "Try" }).click();
  await driver.hasCounts(5, 4 + 1);
  await driver.page.locator(".trial", { hasText: "put Galley lamp behind a twilight switch" }).waitFor();
  await reads(driver, "Duties kept", ["1 of 1", "1 of 1"]);
  await reads(driver, "Loads use a day", ["48 u·h", "changed: 24 u·h"]);
  assert.equal(await driver.button("Undo").isEnabled(), false, "the plan itself is as it was");
  await lamp.getByRole("button", { name: "Put back" }).click();
  await driver.reads(before);
  await lamp.getByRole("button", { name: "Try" }).click();
  await driver.page.locator(".trial").getByRole("button", { name: "Take" }).click();
  await driver.hasCounts(5, 4);
  await driver.card("Twilight switch").waitFor();
  assert.equal(await driver.undoAll(), 1);
  await driver.reads(before);
  await visitor.leave();
});

test("a finding that is meant so goes out of the way, is listed, kept with the plan, and taken back", async () => {
  const { visitor, driver } = await opened("First light", "Findings");
  await rests(driver);
  const count = () => findings(driver).locator("li.finding").count();
  const before = await count();
  await finding(driver, "needless").getByRole("button", { name: "Meant so" }).click();
  await expect(async () => assert.equal(await count(), before - 1));
  await driver.log.getByText("1 finding is meant so").waitFor();
  assert.equal(await finding(driver, "needless").count(), 0);
  await assertAccessible(driver.page);
  assert.equal(await driver.undoAll(), 1);
  await expect(async () => assert.equal(await count(), before));
  await finding(driver, "needless").getByRole("button", { name: "Meant so" }).click();
  await driver.log.getByText("1 finding is meant so").waitFor();
  // It stands in the plan: another visit shows it, and nothing is asked anew for it.
  await expect(async () => assert.equal(await driver.page.getByText("Saving").count(), 0));
  await driver.page.waitForTimeout(700);
  await driver.page.reload();
  await driver.openLogPage("Findings");
  await rests(driver);
  await driver.log.getByText("1 finding is meant so").click();
  await driver.log.getByRole("button", { name: "Not meant so" }).click();
  await expect(async () => assert.equal(await count(), before));
  assert.equal(await driver.log.getByText("1 finding is meant so").count(), 0);
  await visitor.leave();
});

test("one change taken while another is on trial: the board shows all that the plan then has", async () => {
  const { visitor, driver } = await opened("Kittiwake Light", "Findings");
  await rests(driver);
  const [parts, wires] = await driver.counts();
  const changes = findings(driver).locator("li.finding", { has: driver.page.getByRole("button", { name: "Try" }) });
  // One that adds parts and wires, whose ids the other then gives again.
  await changes.filter({ hasText: "Put a busbar" }).first().getByRole("button", { name: "Try" }).click();
  await driver.page.locator(".trial").waitFor();
  await expect(async () => assert.ok((await driver.counts())[1] > wires));
  await changes.filter({ hasText: "Behind a twilight switch" }).first().getByRole("button", { name: "Take" }).click();
  await driver.page.locator(".trial").waitFor({ state: "detached" });
  await expect(async () => assert.ok((await driver.counts())[0] > parts));
  const taken = await driver.read();
  await driver.page.reload();
  await driver.reads(taken);
  await visitor.leave();
});

test("what was found stays while one edits, marked, until there is newer, which comes by itself", async () => {
  const { visitor, driver } = await opened("First light", "Findings");
  await rests(driver);
  const many = await findings(driver).locator("li.finding").count();
  await driver.page.evaluate(() => {
    window.seen = [];
    const page = document.querySelector(".findings-page");
    const note = () => window.seen.push([page.querySelector(".as-of") !== null, page.querySelectorAll("li.finding").length]);
    new MutationObserver(note).observe(page, { subtree: true, childList: true });
  });
  await finding(driver, "needless").getByRole("button", { name: "Take" }).click();
  await expect(async () => assert.equal(await finding(driver, "needless").count(), 0));
  await driver.log.locator(".as-of").waitFor({ state: "detached" });
  const seen = await driver.page.evaluate(() => window.seen);
  assert.ok(seen.some(([marked, count]) => marked && count === many), JSON.stringify(seen));
  assert.ok(seen.every(([, count]) => count > 0), JSON.stringify(seen));
  await visitor.leave();
});

test("a click on a finding shows its parts", async () => {
  const { visitor, driver } = await opened("Kittiwake Light", "Findings");
  await finding(driver, "reachable-switch").locator(".finding-says").click();
  await expect(async () => {
    const said = await driver.card("Causeway switch").getAttribute("aria-label");
    assert.match(said, /chosen/);
  });
  await visitor.leave();
});

test("a variant is kept, compared, shown with its differences, swapped in, and is there after a reload", async () => {
  const { visitor, driver } = await opened("First light", "Compare");
  const keep = async (name) => {
    await driver.log.getByLabel("Keep the plan as a variant").fill(name);
    await driver.log.getByRole("button", { name: "Keep", exact: true }).click();
  };
  await keep("All day");
  const before = await driver.read();
  await driver.openLogPage("Findings");
  await rests(driver);
  await finding(driver, "needless").getByRole("button", { name: "Take" }).click();
  await driver.hasCounts(5, 4);
  const changed = await driver.read();
  await driver.openLogPage("Compare");
  await driver.log.locator(".compare-choice").getByRole("button", { name: "Compare" }).click();
  await reads(driver, "Loads use a day", ["24 u·h", "changed: 48 u·h"]);
  await reads(driver, "Parts, each of a bank counted", ["5", "changed: 4"]);
  await expect(async () => assert.equal(await row(driver, "Single losses survived").count(), 1));
  const differs = driver.log.getByRole("region", { name: "What differs" });
  assert.match(await differs.textContent(), /Twilight switch: only in the first/);
  const variant = driver.log.getByRole("list", { name: "Variants" });
  await variant.getByRole("button", { name: "Show on the board" }).click();
  await driver.page.locator("g.card.gone").waitFor();
  await variant.getByRole("button", { name: "Put back" }).click();
  await driver.reads(changed);
  await variant.getByRole("button", { name: "Swap to it" }).click();
  await driver.reads(before);
  await driver.button("Undo").click();
  await driver.reads(changed);
  await driver.page.reload();
  await driver.paper.locator("g.card").first().waitFor();
  await driver.openLogPage("Compare");
  await driver.log.getByRole("list", { name: "Variants" }).getByText("All day").waitFor();
  await visitor.leave();
});

for (const theme of ["light", "dark"]) {
  test(`both pages hold up to axe, ${theme}`, async () => {
    const { visitor, driver } = await opened("Kittiwake Light", "Findings", { theme });
    await rests(driver);
    await finding(driver, "needless").getByRole("button", { name: "Try" }).click();
    await driver.log.locator("table.sides tbody tr").first().waitFor();
    await assertAccessible(driver.page);
    await driver.openLogPage("Compare");
    await assertAccessible(driver.page);
    await visitor.leave();
  });
}

test("on a phone a finding is tried and taken by finger", async () => {
  const { visitor, driver } = await opened("First light", "Findings", { size: { width: 390, height: 844 }, touch: true });
  await rests(driver);
  await finding(driver, "needless").getByRole("button", { name: "Try" }).tap();
  await driver.hasCounts(5, 5);
  const wide = await driver.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(wide <= 0, `the page is ${wide} px too wide`);
  // The drawer has made way for the board, on which the change can be taken.
  assert.equal(await driver.log.isVisible(), false);
  await driver.page.locator(".trial").getByRole("button", { name: "Take" }).tap();
  await driver.hasCounts(5, 4);
  await visitor.leave();
});
