// A plan outlives a reload, every step can be taken back, and where nothing can be kept the page says so and works.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

test("all steps back give an empty board, all steps forth the plan, and a reload keeps it", async () => {
  const visitor = await station.visitor();
  const page = await visitor.open();
  const desk = new Desk(page);
  await desk.buildDuskLamp();
  const whole = await desk.read();

  // Six parts, six wires and one setting.
  assert.equal(await desk.undoAll(), 13);
  await desk.hasCounts(0, 0);
  await page.getByRole("heading", { name: "An empty board" }).waitFor();
  assert.equal(await desk.redoAll(), 13);
  await desk.reads(whole);

  await page.reload();
  await visitor.started(page);
  await desk.reads(whole);
  await desk.setTime("Midnight");
  await desk.readsOnWire("Battery", "out", "5 / 20");
  await visitor.leave();
});

test("a drag of several parts is one step, and can be taken back by key", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Sun panel", [0.2, 0.3]);
  await desk.placePart("Lamp", [0.7, 0.3]);
  await desk.wire("Sun panel", "out", "Lamp", "in");
  const whole = await desk.read();

  await desk.clickPaper();
  await desk.page.keyboard.press("Control+a");
  const [from, to] = [await desk.at([0.2, 0.3]), await desk.at([0.25, 0.6])];
  await desk.drag(from, to);
  assert.notDeepEqual(await desk.read(), whole);
  await desk.page.keyboard.press("Control+z");
  await desk.reads(whole);

  await desk.page.keyboard.press("Delete");
  await desk.hasCounts(0, 0);
  await desk.page.keyboard.press("Control+z");
  await desk.reads(whole);
  await visitor.leave();
});

test("a wire dropped on a taken port offers to replace, and does so only when told", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Sun panel", [0.17, 0.15]);
  await desk.placePart("Wind turbine", [0.17, 0.7]);
  await desk.placePart("Lamp", [0.7, 0.4]);
  await desk.wire("Sun panel", "out", "Lamp", "in");
  const question = desk.page.getByRole("dialog", { name: "Replace a wire" });
  const [from, to] = [await desk.portAt("Wind turbine", "out"), await desk.portAt("Lamp", "in")];

  await desk.drag(from, to);
  await question.getByRole("button", { name: "Cancel" }).click();
  await question.waitFor({ state: "detached" });
  await desk.hasWire("Sun panel", "out", "Lamp", "in");

  await desk.drag(from, to);
  await question.getByRole("button", { name: "Replace" }).click();
  await desk.hasWire("Wind turbine", "out", "Lamp", "in");
  await desk.hasCounts(3, 1);
  await visitor.leave();
});

test("a problem's sentence chooses and shows what it speaks of", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.5, 0.3]);
  await desk.clickPaper();
  await desk.card("Lamp: off").waitFor();
  await desk.details.getByRole("button", { name: /Lamp/ }).first().click();
  await desk.details.getByRole("heading", { name: "Lamp", exact: true }).waitFor();
  await visitor.leave();
});

test("where storage is blocked the page works, and says that it can't save", async () => {
  const visitor = await station.visitor();
  await visitor.context.addInitScript(() => {
    const blocked = { get() { throw new DOMException("blocked", "SecurityError"); } };
    for (const name of ["localStorage", "sessionStorage"]) Object.defineProperty(window, name, blocked);
  });
  const page = await visitor.open();
  const desk = new Desk(page);
  await page.getByText("not saved").waitFor();
  await desk.placePart("Sun panel", [0.2, 0.3]);
  await desk.placePart("Lamp", [0.7, 0.3]);
  await desk.wire("Sun panel", "out", "Lamp", "in");
  await desk.readsOnWire("Sun panel", "out", "2 / 9");

  const download = page.waitForEvent("download");
  await page.getByRole("status").getByRole("button", { name: "Save as a file" }).click();
  assert.match((await download).suggestedFilename(), /\.json$/);
  await visitor.leave();
});

test("where storage is full the page says so, and goes on", async () => {
  const visitor = await station.visitor();
  await visitor.context.addInitScript(() => {
    Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); };
  });
  const page = await visitor.open();
  const desk = new Desk(page);
  await desk.placePart("Lamp", [0.5, 0.3]);
  await page.getByText(/room for this page is full/).waitFor();
  await desk.card("Lamp: off").waitFor();
  await visitor.leave();
});

test("a plan that another tab has changed is not written over", async () => {
  const visitor = await station.visitor();
  const one = new Desk(await visitor.open());
  await one.placePart("Lamp", [0.3, 0.3]);
  await one.isKept();
  const two = new Desk(await visitor.open());
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
    localStorage.clear();
    sessionStorage.clear();
    localStorage.setItem("duskline/plan/old1", plan);
    localStorage.setItem("duskline/plans", JSON.stringify([{ key: "old1", title: "From before", order: 1 }]));
    localStorage.setItem("duskline/open", "old1");
    localStorage.setItem("duskline/theme", "dark");
  }, text);
  await page.reload();
  await visitor.started(page);
  const desk = new Desk(page);
  await desk.hasCounts(1, 0);
  assert.match(await page.title(), /^From before/);
  assert.equal(await page.locator("html[data-theme=dark]").count(), 1);
  const names = await page.evaluate(() => Object.keys(localStorage));
  assert.ok(names.every((name) => name.startsWith("duskline:/deep/inside/:")), names.join());
  await visitor.leave();
});

test("edits are gathered: many in a row are one write, and a tab that is left keeps them at once", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.4, 0.4]);
  await desk.isKept();
  await desk.choose("Lamp");
  await desk.card("Lamp").focus();
  const writes = await desk.page.evaluate(async () => {
    const write = Storage.prototype.setItem;
    let writes = 0;
    Storage.prototype.setItem = function (name, text) {
      writes += name.includes(":plan/") ? 1 : 0;
      return write.call(this, name, text);
    };
    const board = document.activeElement;
    for (let i = 0; i < 20; i += 1) board.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", bubbles: true, cancelable: true }));
    await new Promise((later) => setTimeout(later, 1200));
    return writes;
  });
  assert.equal(writes, 1);
  await desk.page.keyboard.press("ArrowDown");
  const at = await desk.card("Lamp").getAttribute("data-at");
  await desk.page.reload();
  await visitor.started(desk.page);
  await expect(async () => assert.equal(await desk.card("Lamp").getAttribute("data-at"), at));
  await visitor.leave();
});
