// The page on paper: a sheet with title, board, day, duties, parts and link, and no tool.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

test("printed, a plan is a sheet with all that belongs to it and no button", async () => {
  const visitor = await station.visitor({ theme: "dark" });
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  await driver.page.getByText("All 6 duties kept").first().waitFor();
  const { page } = driver;
  await page.emulateMedia({ media: "print" });
  await page.evaluate(() => window.dispatchEvent(new Event("beforeprint")));
  const sheet = page.locator(".print-sheet");
  await sheet.waitFor();
  assert.equal(await sheet.getByRole("heading", { level: 1 }).textContent(), "Kittiwake Light");
  for (const heading of ["The day", "Duties", "To build", "Settings", "Link"]) await sheet.getByRole("heading", { name: heading, exact: true }).waitFor();
  assert.equal(await sheet.locator(".picture g.card").count(), 33);
  const lanes = sheet.locator(".print-day tbody tr");
  for (const name of ["Fog siren", "Battery shelf", "Gallery turbine", "Home contact"]) {
    assert.equal(await lanes.filter({ has: page.locator(`text.name:text-is("${name}")`) }).count(), 1, name);
  }
  await sheet.locator(".print-day thead text", { hasText: "06:00" }).waitFor();
  assert.equal(await sheet.locator("li", { hasText: "kept for ever" }).count(), 6);
  await sheet.getByText("3 × Battery rack", { exact: true }).waitFor();
  // Each row of the code's squares is a line as wide as a square.
  const row = await sheet.locator(".print-code .pic-code").evaluate((e) => [getComputedStyle(e).stroke, getComputedStyle(e).strokeWidth]);
  assert.deepEqual(row, ["rgb(0, 0, 0)", "1px"]);
  assert.match(await sheet.locator(".print-link").textContent(), /#d3\./);
  const seen = await page.evaluate(() => [...document.querySelectorAll("button, input, select")].filter((e) => e.checkVisibility() && !e.closest(".print-sheet")).length);
  assert.equal(seen, 0, "tools are printed");
  const ink = await sheet.evaluate((e) => getComputedStyle(e).color);
  assert.equal(ink, "rgb(28, 38, 48)", "dark ink, whatever the theme");
  await page.evaluate(() => window.dispatchEvent(new Event("afterprint")));
  await sheet.waitFor({ state: "detached" });
  await visitor.leave();
});

test("the sheet has every lane of a large plan, also where the log shows none, and breaks over pages", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const { page } = driver;
  const parts = Array.from({ length: 90 }, (_, n) => ({ id: `p${n}`, type: "lamp", name: `Lamp no. ${n}`, at: [(n % 9) * 240, Math.floor(n / 9) * 120] }));
  await driver.openFile({ format: "duskline/plan", version: 1, book: "outpost", parts, wires: [] });
  await driver.card("Lamp no. 0").waitFor();
  await driver.openLogPage("Duties");
  await page.emulateMedia({ media: "print" });
  await page.evaluate(() => window.dispatchEvent(new Event("beforeprint")));
  const lanes = page.locator(".print-day tbody tr");
  await expect(async () => assert.equal(await lanes.count(), 90));
  await lanes.last().getByText("Lamp no. 89", { exact: true }).waitFor();
  // The sky is repeated on each page, and no lane is parted.
  const styles = await page.locator(".print-day").evaluate((table) => [getComputedStyle(table.tHead).display, getComputedStyle(table.tBodies[0].rows[0]).breakInside]);
  assert.deepEqual(styles, ["table-header-group", "avoid"]);
  await page.evaluate(() => window.dispatchEvent(new Event("afterprint")));
  await visitor.leave();
});
