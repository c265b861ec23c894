// The station log's frame and chart for keys and for who can't see it: pages as tabs, lanes as tables, targets.

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

test("the pages of the log are tabs: arrow keys, Home and End turn, and Tab reaches the open one alone", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const tabs = driver.log.getByRole("tablist").getByRole("tab");
  const names = await tabs.allTextContents();
  const isOpen = async (name) => {
    await expect(async () => {
      const open = await tabs.evaluateAll((all) => all.filter((t) => t.ariaSelected === "true").map((t) => t.textContent));
      const stops = await tabs.evaluateAll((all) => all.filter((t) => t.tabIndex === 0).map((t) => t.textContent));
      const focused = await driver.page.evaluate(() => document.activeElement.textContent);
      assert.deepEqual([open, stops, focused], [[name], [name], name]);
    });
    await driver.log.getByRole("tabpanel", { name, exact: true }).waitFor();
  };
  await driver.logTab("Day").focus();
  for (const [key, at] of [["ArrowRight", 1], ["ArrowLeft", 0], ["ArrowLeft", names.length - 1], ["ArrowRight", 0], ["End", names.length - 1], ["Home", 0]]) {
    await driver.page.keyboard.press(key);
    await isOpen(names[at]);
  }
  const panel = await driver.logTab("Day").getAttribute("aria-controls");
  assert.equal(await driver.page.locator(`#${panel}`).getAttribute("role"), "tabpanel");
  await assertAccessible(driver.page);
  await visitor.leave();
});

test("a lane's data stand behind it as a table", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const turn = driver.log.getByRole("button", { name: "Dusk lamp as a table" });
  await turn.click();
  const table = driver.log.getByRole("table", { name: "Dusk lamp over the run" });
  await expect(async () => {
    const rows = await table.locator("tr").evaluateAll((all) => all.map((row) => [...row.cells].map((cell) => cell.textContent)));
    assert.deepEqual(rows[0], ["From", "To", "Load"]);
    const runs = rows.slice(1).filter((row) => row[2] === "runs");
    assert.equal(runs.length, (await driver.bars("Dusk lamp", "runs")).length);
    assert.match(runs[0].join(" "), /^Day 1, 00:00 Day 1, \d\d:\d\d\S* runs$/);
  });
  await assertAccessible(driver.page);
  await turn.click();
  await table.waitFor({ state: "detached" });
  await driver.log.getByRole("button", { name: "Shelf battery as a table" }).click();
  const battery = driver.log.getByRole("table", { name: "Shelf battery over the run" });
  assert.match(await battery.locator("tbody tr").first().textContent(), /^Day 1, 00:00\d+(\.\d)? u·h$/);
  await visitor.leave();
});

test("a change being tried stands beside the board's cards, not on them", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await driver.openLogPage("Losses");
  await driver.log.getByRole("button", { name: /^Shelf battery/ }).first().click();
  const trial = driver.page.locator(".trial");
  await trial.waitFor();
  const [paper, banner] = [await driver.paper.boundingBox(), await trial.boundingBox()];
  assert.ok(banner.y >= paper.y + paper.height || banner.y + banner.height <= paper.y, JSON.stringify([paper, banner]));
  await visitor.leave();
});
