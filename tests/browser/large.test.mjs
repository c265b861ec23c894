// A base of 500 parts, opened from a file and worked with: seen whole, moved, made larger, a card dragged, a setting changed.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { base } from "../bench/base.mjs";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const PARTS = 500;
/** From card to card, in pixels of the board. */
const [ACROSS, DOWN] = [264, 136];

/** The benchmarks' stations as one base of exactly so many parts, with names and places: a row of 4 by 2 cards each. */
function plan() {
  const whole = JSON.parse(base(PARTS));
  while (whole.parts.length < PARTS) whole.parts.push({ id: `rest${whole.parts.length}`, type: "lamp" });
  whole.parts.forEach((part, n) => {
    const [station, place] = [Math.floor(n / 8), n % 8];
    part.name = `Part ${n + 1}`;
    part.at = [(station % 6) * 1112 + (place % 4) * ACROSS, Math.floor(station / 6) * 328 + Math.floor(place / 4) * DOWN];
  });
  return whole;
}

/** The base, open and all of it in view. */
async function opened() {
  const visitor = await station.visitor();
  visitor.context.setDefaultTimeout(30_000);
  const driver = new PageDriver(await visitor.open());
  const whole = plan();
  await driver.openFile(whole);
  await driver.card("Part 1").waitFor({ state: "attached" });
  await driver.button("Fit").click();
  return { visitor, driver, whole };
}

/** Turns the wheel over a card until it is about as large as life. */
async function toLifeSize(driver, name) {
  for (let n = 0; n < 20 && Math.abs(Math.log(await driver.scale())) > 0.05; n += 1) {
    const { x, y } = await driver.centreOf(name);
    const before = await driver.scale();
    await driver.page.mouse.move(x, y);
    await driver.page.mouse.wheel(0, Math.max(-600, Math.min(600, Math.log(before) / 0.0015)));
    await expect(async () => assert.notEqual(await driver.scale(), before));
  }
}

const far = (a, b) => Math.hypot(a.x - b.x, a.y - b.y);

test("opened from a file, all of it stands on the board and is kept", async () => {
  const { visitor, driver, whole } = await opened();
  await driver.hasCounts(PARTS, whole.wires.length);
  const box = await driver.paper.boundingBox();
  for (const name of ["Part 1", "Part 250", "Part 500"]) {
    const { x, y } = await driver.centreOf(name);
    assert.ok(x > box.x && x < box.x + box.width && y > box.y && y < box.y + box.height, `${name} is out of view`);
  }
  assert.match(await driver.page.title(), /^Base of 500/);
  await driver.page.reload();
  await driver.card("Part 500").waitFor({ state: "attached" });
  await driver.hasCounts(PARTS, whole.wires.length);
  await visitor.leave();
});

test("the paper is moved and made larger at the pointer, and all of it comes back by “Fit”", async () => {
  const { visitor, driver } = await opened();
  const first = await driver.centreOf("Part 250");
  const from = await driver.at([0.5, 0.985]);
  await driver.drag(from, { x: from.x + 120, y: from.y - 60 });
  await expect(async () => {
    const now = await driver.centreOf("Part 250");
    assert.ok(far(now, { x: first.x + 120, y: first.y - 60 }) < 3, JSON.stringify(now));
  });
  const [at, scale] = [await driver.centreOf("Part 250"), await driver.scale()];
  await driver.page.mouse.move(at.x, at.y);
  await driver.page.mouse.wheel(0, -400);
  await expect(async () => assert.ok(await driver.scale() > scale * 1.5));
  await expect(async () => assert.ok(far(await driver.centreOf("Part 250"), at) < 3, "the place under the pointer stays"));
  await driver.button("Fit").click();
  await expect(async () => assert.ok(far(await driver.centreOf("Part 250"), first) < 3));
  await visitor.leave();
});

test("a card is dragged at life size, and the step taken back", async () => {
  const { visitor, driver } = await opened();
  await toLifeSize(driver, "Part 250");
  const from = await driver.centreOf("Part 250");
  const still = await driver.centreOf("Part 251");
  await driver.drag(from, { x: from.x + 40, y: from.y + 48 });
  await expect(async () => assert.ok(far(await driver.centreOf("Part 250"), { x: from.x + 40, y: from.y + 48 }) < 9));
  assert.ok(far(await driver.centreOf("Part 251"), still) < 1, "no other card moves");
  await driver.button("Undo").click();
  await expect(async () => assert.ok(far(await driver.centreOf("Part 250"), from) < 1));
  await visitor.leave();
});

test("a setting changed: the board says the new numbers, and the old ones after the step back", async () => {
  const { visitor, driver, whole } = await opened();
  const panel = whole.parts.find((part) => part.type === "sun-panel-large" && part.id !== "p1").name;
  await driver.setTime("Noon");
  await toLifeSize(driver, panel);
  const { x, y } = await driver.centreOf(panel);
  await driver.page.mouse.click(x, y);
  await driver.details.getByRole("heading", { name: panel, exact: true }).waitFor();
  const could = async () => Number((await driver.card(panel).getAttribute("aria-label")).match(/gives \d+ of ([\d.]+)/)?.[1] ?? 0);
  await expect(async () => assert.ok(await could() > 0));
  const before = await could();
  const field = driver.details.getByRole("region", { name: "Settings" }).getByLabel("Faces", { exact: true });
  await field.fill("0");
  await field.press("Enter");
  await expect(async () => assert.ok(await could() < before));
  await driver.button("Undo").click();
  await expect(async () => assert.equal(await could(), before));
  await visitor.leave();
});

test("the chart has the lanes in sight, whichever those are, and all by the keyboard", async () => {
  const { visitor, driver } = await opened();
  const lanes = driver.log.locator("[data-lane]");
  await lanes.first().waitFor();
  const some = await lanes.count();
  assert.ok(some < 100, `${some} lanes are drawn`);
  // A chosen part brings its own.
  const chart = driver.log.locator(".chart");
  await driver.choose("Part 500");
  await expect(async () => {
    const [own, all] = [await driver.lane("Part 500").boundingBox(), await chart.boundingBox()];
    assert.ok(own.y >= all.y && own.y + own.height <= all.y + all.height + 1);
  });
  // Tab goes on from the last lane that is drawn to those that are not drawn yet, in their order.
  await driver.clickPaper();
  await chart.evaluate((chart) => { chart.scrollTop = 0; });
  const options = await driver.log.getByLabel("Events of").locator("option").allTextContents();
  const inOrder = options.filter((name) => name.startsWith("Part ")).slice(0, 40);
  await driver.lane(inOrder[0]).locator(".lane-name").focus();
  const seen = [];
  while (seen.length < inOrder.length) {
    const name = await driver.page.evaluate(() => document.activeElement.textContent);
    // Groups have headings between lanes.
    if (name.startsWith("Part ")) seen.push(name);
    await driver.page.keyboard.press("Tab");
    await driver.page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
  }
  assert.deepEqual(seen, inOrder);
  await visitor.leave();
});

test("the paper moves as far as one likes", async () => {
  const { visitor, driver } = await opened();
  await toLifeSize(driver, "Part 250");
  const { mouse } = driver.page;
  const box = await driver.paper.boundingBox();
  const [left, right, y] = [box.x + 10, box.x + box.width - 10, box.y + box.height - 60];
  const way = right - left;
  const before = await driver.centreOf("Part 250");
  // Farther than the sheet under the paper reaches, and back.
  const turns = Math.ceil(13_000 / way);
  const pan = async (from, to) => {
    await mouse.move(from, y);
    await mouse.down({ button: "middle" });
    await mouse.move((from + to) / 2, y);
    await mouse.move(to, y);
    await mouse.up({ button: "middle" });
  };
  for (let turn = 0; turn < turns; turn += 1) await pan(right, left);
  await expect(async () => assert.equal(await driver.card("Part 250").count(), 0));
  for (let turn = 0; turn < turns; turn += 1) await pan(left, right);
  await expect(async () => assert.ok(far(await driver.centreOf("Part 250"), before) < 1));
  await visitor.leave();
});
