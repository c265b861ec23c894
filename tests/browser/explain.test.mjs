// What the plan does in plain words: the log's page, words that lead to what they speak of, and one part among its details.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(async () => { await station?.stop(); });

async function explained(example, options) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  const { page } = driver;
  await page.getByRole("tablist", { name: "Pages of the log" }).getByRole("tab", { name: "Explain" }).click();
  const told = page.locator(".explain-page");
  await told.getByRole("heading", { name: "Parts" }).waitFor();
  return { visitor, driver, page, told };
}

test("the plan is explained in whole sentences under headings, and every part once", async () => {
  const { visitor, page, told } = await explained("Dusk lamp");
  for (const heading of ["The day", "Parts"]) await told.getByRole("heading", { name: heading }).waitFor();
  const parts = told.locator("section", { has: page.getByRole("heading", { name: "Parts" }) }).locator("li");
  assert.equal(await parts.count(), await page.locator("g.card").count());
  for (const says of await told.locator("li").allInnerTexts()) assert.match(says.trim(), /^[^a-z].*[.:]$/s, says);
  await assertAccessible(page);
  await visitor.leave();
});

test("words lead to what they speak of: a part to its card, a time to that moment", async () => {
  const { visitor, page, told } = await explained("Dusk lamp");
  const part = told.locator(".said-link", { hasText: "Dusk lamp" }).first();
  await part.click();
  await page.locator("g.card.chosen").waitFor();
  await page.getByRole("complementary", { name: "Details and problems" }).getByRole("heading", { name: "Dusk lamp" }).waitFor();
  const time = told.locator(".said-link").filter({ hasText: /^\d\d:\d\d$/ }).first();
  const says = await time.innerText();
  await time.click();
  await expect(async () => assert.match(await page.locator(".time .said").innerText(), new RegExp(`^${says}`)));
  await visitor.leave();
});

test("a part says why it is there, and stays unfolded from part to part", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  const { page } = driver;
  const cards = page.locator("g.card");
  await cards.nth(0).click();
  const details = page.getByRole("complementary", { name: "Details and problems" });
  await details.locator("summary", { hasText: "Why is it here?" }).click();
  await details.locator(".why-here li").first().waitFor();
  const first = await details.locator(".why-here").innerText();
  await cards.nth(1).click();
  await expect(async () => {
    const second = await details.locator(".why-here").innerText();
    assert.ok(second.length > 30 && second !== first, second);
  });
  await visitor.leave();
});

test("an edit makes the explanation anew, and an empty board says what comes here", async () => {
  const { visitor, driver, page, told } = await explained("Dusk lamp");
  const parts = told.locator("section", { has: page.getByRole("heading", { name: "Parts" }) }).locator("li");
  const count = await parts.count();
  const before = await told.innerText();
  await page.locator("g.card").last().click();
  await page.keyboard.press("Delete");
  await expect(async () => assert.equal(await parts.count(), count - 1));
  await driver.button("Undo").click();
  await expect(async () => assert.equal(await told.innerText(), before));
  await page.locator(".paper").focus();
  await page.keyboard.press("Control+a");
  await page.keyboard.press("Delete");
  await told.getByText(/^Nothing is on the board yet/).waitFor();
  assert.equal(await parts.count(), 0);
  await visitor.leave();
});

test("it fits a phone, by touch", async () => {
  const visitor = await station.visitor({ size: { width: 390, height: 844 }, touch: true });
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  const { page } = driver;
  await page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Log" }).tap();
  await page.getByRole("tab", { name: "Explain" }).tap();
  await page.locator(".explain-page").getByRole("heading", { name: "Parts" }).waitFor();
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 390, `the page is ${wide} wide`);
  await assertAccessible(page);
  await visitor.leave();
});
