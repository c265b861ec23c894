// Numbers change: a new version of a built-in book, and a plan's own book tried on the others of its name. The kept plans
// that they have to do with are proven on both, a report says which duties change and why, and nothing of them is changed.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

const asset = async (path) => JSON.parse(await readFile(new URL(`../../assets/${path}`, import.meta.url), "utf8"));
const SEEN = "seen-book/outpost";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** The dusk lamp, which has a rack; and the same with one plain battery, which holds until 05:24. */
async function plans() {
  const rack = await asset("examples/dusk-lamp.json");
  const landing = structuredClone(rack);
  landing.title = "Landing light";
  landing.parts[2] = { ...landing.parts[2], type: "battery", set: {} };
  return { rack, landing };
}

/** Waits until the plan is kept; a narrow board does not show all of it. */
async function isKept(driver, plan) {
  await expect(async () => assert.ok(Object.values(await driver.kept()).some((kept) => kept.title === plan.title)));
}

/** A visitor who keeps both; the dusk lamp is open. */
async function withTwo(options) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  const { rack, landing } = await plans();
  for (const plan of [landing, rack]) {
    await driver.openFile(plan);
    await expect(async () => assert.match(await driver.page.title(), new RegExp(`^${plan.title}`)));
    await isKept(driver, plan);
  }
  return { visitor, driver };
}

/** Puts a built-in book of an earlier version, in which a plain battery held twice as much, behind the page's back. */
async function plantOlderBook(driver) {
  const book = await asset("books/outpost.json");
  book.types.find((kind) => kind.type === "battery").capacity = 120;
  await driver.page.evaluate(([end, text]) => {
    const name = Object.keys(localStorage).find((name) => name.endsWith(`:${end}`));
    localStorage.setItem(name, text);
  }, [SEEN, JSON.stringify(book)]);
}

/** The text of the built-in book that the page remembers, once there is one. */
const seen = (driver) => driver.page.evaluate((end) => {
  const name = Object.keys(localStorage).find((name) => name.endsWith(`:${end}`));
  return name ? localStorage.getItem(name) : null;
}, SEEN);

async function remembers(driver) {
  const now = await readFile(new URL("../../assets/books/outpost.json", import.meta.url), "utf8");
  await expect(async () => assert.equal(await seen(driver), now));
}

const line = (driver) => driver.page.locator(".standing .recheck-says");
const lineSays = (driver, text) => line(driver).filter({ hasText: text }).waitFor();
const section = (driver, title) => driver.dialog.getByRole("listitem").filter({ has: driver.page.getByRole("heading", { name: title }) });

/** All that is kept of the plans: their texts and what was said of them. */
async function everything(driver) {
  return { plans: await driver.records("plans"), versions: await driver.records("versions"), undo: await driver.records("undo") };
}

async function startAnew(visitor, driver) {
  await driver.page.reload();
  await visitor.started(driver.page);
}

const NEWS = "2 plans use the new version of the book Outpost: 2 duties of 1 plan are worse.";

test("a first visit, and one with the same book, say nothing", async () => {
  const { visitor, driver } = await withTwo();
  await remembers(driver);
  assert.equal(await line(driver).count(), 0);
  await startAnew(visitor, driver);
  // A moment later it would be there.
  await driver.page.waitForTimeout(1200);
  assert.equal(await line(driver).count(), 0);
  await driver.button("Plans…").click();
  assert.equal(await driver.dialog.getByRole("button", { name: "Report on new numbers…" }).count(), 0);
  await visitor.leave();
});

test("a new version of a built-in book: the report names the lamp that goes dark, one click opens its plan, and no plan is changed", async () => {
  const { visitor, driver } = await withTwo();
  await remembers(driver);
  await plantOlderBook(driver);
  const kept = await everything(driver);
  await startAnew(visitor, driver);
  await lineSays(driver, NEWS);
  await remembers(driver);
  await assertAccessible(driver.page);

  // By keyboard: the report opens, and what is worse stands first.
  await driver.button("Report…").focus();
  await driver.page.keyboard.press("Enter");
  await driver.dialog.getByRole("heading", { name: "What new numbers change" }).waitFor();
  const titles = await driver.dialog.getByRole("heading", { level: 3 }).allTextContents();
  assert.deepEqual(titles, ["Landing light", "Dusk lamp"]);
  const landing = await section(driver, "Landing light").innerText();
  assert.match(landing, /2 duties worse\./);
  assert.match(landing, /Dusk lamp, while it is dark: worse\s+kept for ever → broken, 2 gaps, first on day 1 05:24/);
  // The night that comes again and again, and not the first, into which the battery goes half full.
  assert.match(landing, /Dusk lamp goes dark on day 2 at 04:25: Shelf battery is empty until 08:02\./);
  assert.match(landing, /Battery: capacity: 120 → 60/);
  assert.match(await section(driver, "Dusk lamp").innerText(), /All 2 duties are kept, as before\./);
  await assertAccessible(driver.page);
  assert.deepEqual(await everything(driver), kept);

  // Closed and opened again; the open plan can't be opened once more.
  await driver.page.keyboard.press("Escape");
  await driver.dialog.waitFor({ state: "hidden" });
  await driver.button("Put away").click();
  await expect(async () => assert.equal(await line(driver).count(), 0));
  await driver.button("Plans…").click();
  await driver.dialog.getByRole("button", { name: "Report on new numbers…" }).click();
  await driver.dialog.getByRole("heading", { name: "What new numbers change" }).waitFor();
  assert.equal(await driver.dialog.getByRole("button", { name: "Is open: Dusk lamp" }).isDisabled(), true);
  await driver.dialog.getByRole("button", { name: "Open Landing light", exact: true }).click();
  await driver.dialog.waitFor({ state: "hidden" });
  await expect(async () => assert.match(await driver.page.title(), /^Landing light/));
  await driver.page.locator(".verdict-line", { hasText: "0 of 2 duties kept" }).waitFor();
  assert.deepEqual((await everything(driver)).plans, kept.plans);

  // It is told once.
  await startAnew(visitor, driver);
  await driver.page.waitForTimeout(1200);
  assert.equal(await line(driver).count(), 0);
  await visitor.leave();
});

test("a built-in book of which nothing but words differ is no news", async () => {
  const { visitor, driver } = await withTwo();
  await remembers(driver);
  await driver.page.evaluate((end) => {
    const name = Object.keys(localStorage).find((name) => name.endsWith(`:${end}`));
    const book = JSON.parse(localStorage.getItem(name));
    book.types[0].note = "Said otherwise.";
    localStorage.setItem(name, JSON.stringify(book));
  }, SEEN);
  await startAnew(visitor, driver);
  await remembers(driver);
  assert.equal(await line(driver).count(), 0);
  await visitor.leave();
});

test("what is under way says so and is stopped; what was left out is said", async () => {
  const { visitor, driver } = await withTwo();
  await remembers(driver);
  await plantOlderBook(driver);
  // The workers' program is slow to come, so that nothing is proven yet.
  const held = [];
  await visitor.context.route(/duskline-worker.*wasm/, (route) => held.push(route));
  await startAnew(visitor, driver);
  await lineSays(driver, "Proving 2 plans on the new numbers: 0 done");
  await assertAccessible(driver.page);
  await driver.button("Stop").focus();
  await driver.page.keyboard.press("Enter");
  await lineSays(driver, "2 plans use the new version of the book Outpost: 2 plans are not proven.");
  assert.equal(await driver.page.evaluate(() => document.activeElement.textContent), "Report…");
  await expect(async () => assert.ok(held.length > 0));
  await Promise.all(held.map((route) => route.continue()));
  await driver.page.locator(".verdict-line", { hasText: "All 2 duties kept" }).waitFor();
  await remembers(driver);
  await visitor.leave();
});

test("a tab that is closed before all is proven begins anew at the next visit", async () => {
  const { visitor, driver } = await withTwo();
  await remembers(driver);
  await plantOlderBook(driver);
  const held = [];
  await visitor.context.route(/duskline-worker.*wasm/, (route) => held.push(route));
  await startAnew(visitor, driver);
  await lineSays(driver, "Proving 2 plans on the new numbers");
  await visitor.context.unroute(/duskline-worker.*wasm/);
  await Promise.all(held.map((route) => route.abort("aborted").catch(() => {})));
  await startAnew(visitor, driver);
  await lineSays(driver, NEWS);
  await visitor.leave();
});

/** The plan with a book of its own, in which a plain battery holds so much. */
async function withOwnBook(plan, capacity) {
  const book = await asset("books/outpost.json");
  book.name = "shore";
  book.types.find((kind) => kind.type === "battery").capacity = capacity;
  return { ...structuredClone(plan), book };
}

test("a plan's own book is tried on the other plans of its name, and they stay as they are", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const { rack, landing } = await plans();
  const hall = { ...structuredClone(landing), title: "Hall light" };
  const inland = await withOwnBook(hall, 120);
  inland.title = "Inland light";
  inland.book.name = "inland";
  for (const plan of [await withOwnBook(landing, 120), await withOwnBook(rack, 120), inland, await withOwnBook(hall, 60)]) {
    await driver.openFile(plan);
    await expect(async () => assert.match(await driver.page.title(), new RegExp(`^${plan.title}`)));
    await driver.isKept();
  }
  const kept = await everything(driver);
  await driver.button("Book…").click();
  await driver.dialog.getByRole("button", { name: "Prove other plans with this book…" }).click();
  const said = driver.dialog.locator(".recheck-says");
  await said.filter({ hasText: "2 other plans have a book called shore: 2 duties of 1 plan are worse." }).waitFor();
  await assertAccessible(driver.page);
  await driver.dialog.getByRole("button", { name: "Report…" }).click();
  await driver.dialog.getByRole("heading", { name: "What new numbers change" }).waitFor();
  assert.deepEqual(await driver.dialog.getByRole("heading", { level: 3 }).allTextContents(), ["Landing light", "Dusk lamp"]);
  assert.match(await section(driver, "Landing light").innerText(), /Battery: capacity: 120 → 60/);
  assert.deepEqual(await everything(driver), kept);
  await driver.dialog.getByRole("button", { name: "Open Landing light", exact: true }).click();
  await expect(async () => assert.match(await driver.page.title(), /^Landing light/));
  assert.deepEqual((await everything(driver)).plans, kept.plans);

  // The other way round another report takes the place of this one.
  await driver.button("Book…").click();
  await driver.dialog.getByRole("button", { name: "Prove other plans with this book…" }).click();
  await said.filter({ hasText: "2 other plans have a book called shore: 2 duties of 1 plan are better." }).waitFor();
  await visitor.leave();
});

test("a book that no other plan has by name says so", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const { landing } = await plans();
  await driver.openFile(await withOwnBook(landing, 90));
  await driver.isKept();
  await driver.button("Book…").click();
  await driver.dialog.getByRole("button", { name: "Prove other plans with this book…" }).click();
  await driver.dialog.locator(".recheck-says", { hasText: "No other plan has a book called shore." }).waitFor();
  await visitor.leave();
});

for (const theme of ["light", "dark"]) {
  test(`on a narrow screen in the ${theme} theme all of it is in reach`, async () => {
    const { visitor, driver } = await withTwo({ theme, size: { width: 390, height: 844 }, touch: true });
    await remembers(driver);
    await plantOlderBook(driver);
    await startAnew(visitor, driver);
    await lineSays(driver, NEWS);
    await assertAccessible(driver.page);
    await driver.button("Report…").tap();
    await section(driver, "Landing light").waitFor();
    await assertAccessible(driver.page);
    const wide = await driver.dialog.evaluate((dialog) => dialog.scrollWidth - dialog.clientWidth);
    assert.ok(wide <= 0, `${wide} pixels lie beyond the dialog's edge`);
    await driver.dialog.getByRole("button", { name: "Open Landing light", exact: true }).tap();
    await expect(async () => assert.match(await driver.page.title(), /^Landing light/));
    await visitor.leave();
  });
}
