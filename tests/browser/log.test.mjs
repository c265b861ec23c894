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
