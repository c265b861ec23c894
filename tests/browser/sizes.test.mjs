// The log's page of sizes: the least found and taken over in one step, kept and marked while one edits, a search that is
// stopped, and what is to spare.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function opened(settings) {
  const visitor = await station.visitor(settings);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  if (settings?.size?.width < 761) await driver.page.getByRole("button", { name: "Log", exact: true }).click();
  await driver.openLogPage("Sizes");
  const main = driver.page.getByRole("region", { name: "Least sizes" });
  const spare = driver.page.getByRole("region", { name: "To spare" });
  await main.waitFor();
  return { visitor, driver, main, spare };
}

/** The table's rows as texts, by the part's name. */
async function rows(table) {
  const found = {};
  for (const row of await table.locator("tbody tr").all()) {
    found[await row.locator("th button").textContent()] = await row.locator("td").allTextContents();
  }
  return found;
}

test("the least is found, taken over in one step, and marked as of the earlier plan", async () => {
  const { visitor, driver, main } = await opened();
  await main.getByRole("button", { name: "Find the least" }).click();
  const head = main.getByText(/^Least: 6 sources and batteries\. The plan has 8 sources and batteries\./);
  await head.waitFor();
  const table = main.getByRole("table");
  const found = await rows(table);
  assert.deepEqual(found["East roof panels"].slice(0, 2), ["2", "1"]);
  assert.deepEqual(found["Battery shelf"].slice(0, 2), ["3", "1"]);
  assert.match(found["West roof panels"][2], /is off from day \d+ \d\d:\d\d/);
  await main.getByText(/^Next cheaper \(5 sources and batteries\): /).waitFor();
  assert.equal(await main.getByText("As of the plan before your last edits.").count(), 0);
  await assertAccessible(driver.page);
  await main.getByRole("button", { name: "Take these sizes" }).click();
  await main.getByText("As of the plan before your last edits.").waitFor();
  await driver.choose("East roof panels");
  await expect(async () => assert.equal(await driver.details.getByLabel("How many", { exact: true }).inputValue(), "1"));
  // The duties are kept still, and the whole is one step.
  await expect(async () => assert.match(await driver.page.locator(".verdict").textContent(), /6 (of 6 )?duties kept/));
  assert.equal(await driver.undoAll(), 1);
  await expect(async () => assert.equal(await main.getByText("As of the plan before your last edits.").count(), 0));
  // Found again, it is still the same after another page of the log was looked at.
  await driver.openLogPage("Day");
  await driver.openLogPage("Sizes");
  await head.waitFor();
  await visitor.leave();
});

test("a long search tells what it has found so far and can be stopped", async () => {
  const { visitor, main } = await opened();
  await main.getByLabel("Turn sun panels").check();
  await main.getByLabel("Directions").selectOption({ label: "every 10°, tilts every 10°" });
  await main.getByLabel("Least", { exact: false }).first().selectOption("cost");
  await main.getByRole("button", { name: "Find the least" }).click();
  await main.getByText(/^Found so far: cost \d+, \d+ sources and batteries: /).waitFor();
  await main.getByRole("button", { name: "Stop" }).click();
  await main.getByText("Stopped.").waitFor();
  await main.getByText(/^Found so far: cost \d+/).waitFor();
  assert.ok(await main.getByRole("button", { name: "Take these sizes" }).isEnabled());
  assert.equal(await main.getByRole("progressbar").count(), 0);
  await visitor.leave();
});

test("what is to spare is told part by part, on a phone too", async () => {
  for (const size of [{ width: 1440, height: 900 }, { width: 390, height: 844 }]) {
    const { visitor, driver, spare } = await opened({ size });
    await spare.getByRole("button", { name: "Work out" }).click();
    await expect(async () => assert.equal(Object.keys(await rows(spare)).length, 4));
    const found = await rows(spare);
    assert.deepEqual(found["Battery shelf"], ["2 u", "5 u"]);
    assert.deepEqual(found["East roof panels"], ["0 u", "0 u"]);
    await assertAccessible(driver.page);
    await visitor.leave();
  }
});
