// A plan outlives a reload, every step can be taken back, and where nothing can be kept the page says so and works.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

test("all steps back give an empty board, all steps forth the plan, and a reload keeps it", async () => {
  const visitor = await station.visitor();
  const page = await visitor.open();
  const driver = new PageDriver(page);
  await driver.buildDuskLamp();
  const whole = await driver.read();

  // Six parts, six wires and one setting.
  assert.equal(await driver.undoAll(), 13);
  await driver.hasCounts(0, 0);
  await page.getByRole("heading", { name: "An empty board" }).waitFor();
  assert.equal(await driver.redoAll(), 13);
  await driver.reads(whole);

  await page.reload();
  await visitor.started(page);
  await driver.reads(whole);
  await driver.setTime("Midnight");
  await driver.readsOnWire("Battery", "out", "5 / 20");
  await visitor.leave();
});

test("a drag of several parts is one step, and can be taken back by key", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Sun panel", [0.2, 0.3]);
  await driver.placePart("Lamp", [0.7, 0.3]);
  await driver.wire("Sun panel", "out", "Lamp", "in");
  const whole = await driver.read();

  await driver.clickPaper();
  await driver.page.keyboard.press("Control+a");
  const [from, to] = [await driver.at([0.2, 0.3]), await driver.at([0.25, 0.6])];
  await driver.drag(from, to);
  assert.notDeepEqual(await driver.read(), whole);
  await driver.page.keyboard.press("Control+z");
  await driver.reads(whole);

  await driver.page.keyboard.press("Delete");
  await driver.hasCounts(0, 0);
  await driver.page.keyboard.press("Control+z");
  await driver.reads(whole);
  await visitor.leave();
});

test("a wire dropped on a taken port offers to replace, and does so only when told", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Sun panel", [0.17, 0.15]);
  await driver.placePart("Wind turbine", [0.17, 0.7]);
  await driver.placePart("Lamp", [0.7, 0.4]);
  await driver.wire("Sun panel", "out", "Lamp", "in");
  const question = driver.page.getByRole("dialog", { name: "Replace a wire" });
  const [from, to] = [await driver.portAt("Wind turbine", "out"), await driver.portAt("Lamp", "in")];

  await driver.drag(from, to);
  await question.getByRole("button", { name: "Cancel" }).click();
  await question.waitFor({ state: "detached" });
  await driver.hasWire("Sun panel", "out", "Lamp", "in");

  await driver.drag(from, to);
  await question.getByRole("button", { name: "Replace" }).click();
  await driver.hasWire("Wind turbine", "out", "Lamp", "in");
  await driver.hasCounts(3, 1);
  await visitor.leave();
});

test("a problem's sentence chooses and shows what it speaks of", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.5, 0.3]);
  await driver.clickPaper();
  await driver.card("Lamp: off").waitFor();
  await driver.details.getByRole("button", { name: /Lamp/ }).first().click();
  await driver.details.getByRole("heading", { name: "Lamp", exact: true }).waitFor();
  await visitor.leave();
});

/** Takes storage away from every page of a visitor: what is named is not to be had. */
const block = (visitor, names) => visitor.context.addInitScript((names) => {
  const blocked = { get() { throw new DOMException("blocked", "SecurityError"); } };
  for (const name of names) Object.defineProperty(window, name, blocked);
}, names);

test("where storage is blocked the page works, and says that it can't save", async () => {
  const visitor = await station.visitor();
  await block(visitor, ["indexedDB", "localStorage", "sessionStorage"]);
  const page = await visitor.open();
  const driver = new PageDriver(page);
  await page.getByText("not saved").waitFor();
  await driver.placePart("Sun panel", [0.2, 0.3]);
  await driver.placePart("Lamp", [0.7, 0.3]);
  await driver.wire("Sun panel", "out", "Lamp", "in");
  await driver.readsOnWire("Sun panel", "out", "2 / 9");

  const download = page.waitForEvent("download");
  await page.getByRole("status").getByRole("button", { name: "Save as a file" }).click();
  assert.match((await download).suggestedFilename(), /\.json$/);
  await visitor.leave();
});

test("where only local storage is to be had, plans are kept all the same", async () => {
  const visitor = await station.visitor();
  await block(visitor, ["indexedDB"]);
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.5, 0.3]);
  await driver.setTitle("In a small store");
  const names = () => driver.page.evaluate(() => Object.keys(localStorage));
  await expect(async () => assert.ok((await names()).some((name) => /:shelf\/plans\//.test(name))));
  await driver.page.waitForTimeout(700);
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.hasCounts(1, 0);
  await expect(async () => assert.match(await driver.page.title(), /^In a small store/));
  await visitor.leave();
});

test("where storage is full the page says so, and goes on", async () => {
  const visitor = await station.visitor();
  await visitor.context.addInitScript(() => {
    const full = () => { throw new DOMException("full", "QuotaExceededError"); };
    Storage.prototype.setItem = full;
    IDBObjectStore.prototype.put = full;
  });
  const page = await visitor.open();
  const driver = new PageDriver(page);
  await driver.placePart("Lamp", [0.5, 0.3]);
  await page.getByText(/room for this page is full/).waitFor();
  await driver.card("Lamp: off").waitFor();
  await visitor.leave();
});

test("a tab that is closed right after an edit has kept it, though the database had no time", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.3, 0.3]);
  await driver.setTitle("Closed");
  await driver.isKept();
  // From now on no write of the database comes to its end.
  await driver.page.evaluate(() => { IDBObjectStore.prototype.put = () => { throw new DOMException("too late", "AbortError"); }; });
  await driver.placePart("Fan", [0.7, 0.3]);
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.hasCounts(2, 0);
  await driver.isKept();
  const late = await driver.page.evaluate(() => Object.keys(localStorage).filter((name) => /:late\//.test(name)));
  assert.deepEqual(late, []);
  await visitor.leave();
});

test("undo lasts over a reload", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.3, 0.3]);
  await driver.placePart("Fan", [0.7, 0.3]);
  await driver.isKept();
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.hasCounts(2, 0);
  await driver.button("Undo").click();
  await driver.hasCounts(1, 0);
  await driver.button("Redo").click();
  await driver.hasCounts(2, 0);
  await visitor.leave();
});

test("a plan that another tab has changed is not written over", async () => {
  const visitor = await station.visitor();
  const one = new PageDriver(await visitor.open());
  await one.placePart("Lamp", [0.3, 0.3]);
  await one.isKept();
  const two = new PageDriver(await visitor.open());
  await two.hasCounts(1, 0);
  await two.placePart("Fan", [0.7, 0.3]);
  await one.page.getByText("Another tab has changed this plan").waitFor();
  await one.page.getByRole("button", { name: "Load its version" }).click();
  await one.hasCounts(2, 0);
  await visitor.leave();
});

test("what an earlier version kept without the page's path is taken over, and leaves its old place", async () => {
  const visitor = await station.visitor();
  const page = await visitor.open();
  const text = JSON.stringify({ format: "duskline/plan", version: 1, title: "From before", book: "outpost", parts: [{ id: "p1", type: "lamp", at: [0, 0] }], wires: [], duties: [] });
  await page.evaluate((plan) => {
    const gone = indexedDB.databases().then((all) => Promise.all(all.map(({ name }) => indexedDB.deleteDatabase(name))));
    localStorage.clear();
    sessionStorage.clear();
    localStorage.setItem("duskline/plan/old1", plan);
    localStorage.setItem("duskline/plans", JSON.stringify([{ key: "old1", title: "From before", order: 1 }]));
    localStorage.setItem("duskline/open", "old1");
    localStorage.setItem("duskline/theme", "dark");
    return gone.then(() => {});
  }, text);
  await page.reload();
  await visitor.started(page);
  const driver = new PageDriver(page);
  await driver.hasCounts(1, 0);
  assert.match(await page.title(), /^From before/);
  assert.equal(await page.locator("html[data-theme=dark]").count(), 1);
  const names = await page.evaluate(() => Object.keys(localStorage));
  assert.ok(names.every((name) => name.startsWith("duskline:/deep/inside/:")), names.join());
  await visitor.leave();
});

test("edits are gathered: many in a row are one write, and a tab that is left keeps them at once", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.4, 0.4]);
  await driver.isKept();
  await driver.choose("Lamp");
  await driver.card("Lamp").focus();
  const writes = await driver.page.evaluate(async () => {
    const write = IDBObjectStore.prototype.put;
    let writes = 0;
    IDBObjectStore.prototype.put = function (text, key) {
      writes += this.name === "plans" ? 1 : 0;
      return write.call(this, text, key);
    };
    const board = document.activeElement;
    for (let i = 0; i < 20; i += 1) board.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", bubbles: true, cancelable: true }));
    await new Promise((later) => setTimeout(later, 1200));
    return writes;
  });
  assert.equal(writes, 1);
  await driver.page.keyboard.press("ArrowDown");
  const at = await driver.card("Lamp").locator("rect.ground").getAttribute("y");
  await driver.page.reload();
  await visitor.started(driver.page);
  await expect(async () => assert.equal(await driver.card("Lamp").locator("rect.ground").getAttribute("y"), at));
  await visitor.leave();
});
