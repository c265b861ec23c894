// Several parts at once: chosen by a marquee and with Shift, moved together, lined up, copied, duplicated, deleted.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** A panel and a lamp with a wire between them on the left, a fan apart on the right. */
async function withThree() {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Sun panel", [0.15, 0.2]);
  await driver.placePart("Lamp", [0.45, 0.3]);
  await driver.placePart("Fan", [0.8, 0.75]);
  await driver.wire("Sun panel", "out", "Lamp", "in");
  // Nothing chosen: a marquee with Shift adds to what is.
  await driver.clickPaper();
  await driver.page.keyboard.press("Escape");
  return { visitor, driver };
}

/** Waits until the details speak of what is chosen. */
const chosen = (driver, said) => driver.details.getByRole("heading", { name: said, exact: true }).waitFor();

/** Draws a marquee with Shift held, over shares of the board. */
async function marquee(driver, from, to) {
  await driver.page.keyboard.down("Shift");
  await driver.drag(await driver.at(from), await driver.at(to));
  await driver.page.keyboard.up("Shift");
}

async function clickCard(driver, name, modifiers = []) {
  const { x, y } = await driver.centreOf(name);
  for (const key of modifiers) await driver.page.keyboard.down(key);
  await driver.page.mouse.click(x, y);
  for (const key of modifiers) await driver.page.keyboard.up(key);
}

test("a marquee chooses what it meets, Shift adds one and takes one away, Escape lets go of all", async () => {
  const { visitor, driver } = await withThree();
  await marquee(driver, [0.02, 0.05], [0.66, 0.55]);
  await chosen(driver, "2 parts");
  await clickCard(driver, "Fan", ["Shift"]);
  await chosen(driver, "3 parts");
  await clickCard(driver, "Lamp", ["Shift"]);
  await chosen(driver, "2 parts");
  await expect(async () => assert.match(await driver.card("Fan").getAttribute("aria-label"), /, chosen$/));
  assert.doesNotMatch(await driver.card("Lamp").getAttribute("aria-label"), /, chosen$/);
  await driver.page.keyboard.press("Escape");
  await expect(async () => assert.doesNotMatch(await driver.card("Fan").getAttribute("aria-label"), /, chosen$/));
  await visitor.leave();
});

test("with “Choose” pressed a plain drag on the paper is a marquee", async () => {
  const { visitor, driver } = await withThree();
  await driver.button("Choose").click();
  await expect(async () => assert.equal(await driver.button("Choose").getAttribute("aria-pressed"), "true"));
  await driver.drag(await driver.at([0.02, 0.05]), await driver.at([0.66, 0.55]));
  await chosen(driver, "2 parts");
  const before = await driver.centreOf("Fan");
  await driver.button("Choose").click();
  await driver.drag(await driver.at([0.5, 0.9]), await driver.at([0.6, 0.9]));
  await expect(async () => assert.ok((await driver.centreOf("Fan")).x > before.x + 20, "the paper moves again"));
  await visitor.leave();
});

test("what is chosen moves together by mouse and by key, each time in one step", async () => {
  const { visitor, driver } = await withThree();
  await marquee(driver, [0.02, 0.05], [0.66, 0.55]);
  await chosen(driver, "2 parts");
  const places = async () => Promise.all(["Sun panel", "Lamp", "Fan"].map((name) => driver.centreOf(name)));
  const before = await places();
  await driver.drag(before[1], { x: before[1].x + 48, y: before[1].y + 64 });
  const by = (now, n) => [now[n].x - before[n].x, now[n].y - before[n].y].map(Math.round);
  await expect(async () => {
    const now = await places();
    assert.deepEqual(by(now, 0), by(now, 1));
    assert.ok(by(now, 0)[0] >= 40 && by(now, 0)[1] >= 56, `moved by ${by(now, 0)}`);
    assert.deepEqual(by(now, 2), [0, 0]);
  });
  await driver.page.keyboard.press("Control+z");
  await expect(async () => assert.deepEqual(await places(), before));
  await driver.page.keyboard.press("Shift+ArrowDown");
  await expect(async () => {
    const now = await places();
    assert.deepEqual(by(now, 0), by(now, 1));
    assert.deepEqual(by(now, 0), [0, Math.round(40 * await driver.scale())]);
  });
  await driver.page.keyboard.press("Control+z");
  await expect(async () => assert.deepEqual(await places(), before));
  await visitor.leave();
});

test("parts are lined up by their left edges and their top edges", async () => {
  const { visitor, driver } = await withThree();
  await driver.clickPaper();
  await driver.page.keyboard.press("Control+a");
  await chosen(driver, "3 parts, 1 wire");
  const places = async () => Promise.all(["Sun panel", "Lamp", "Fan"].map((name) => driver.centreOf(name)));
  const before = await places();
  for (const [edges, axis] of [["left", "x"], ["top", "y"]]) {
    await driver.details.getByRole("button", { name: `Line up ${edges} edges` }).click();
    await expect(async () => assert.equal(new Set((await places()).map((place) => Math.round(place[axis]))).size, 1));
    await driver.button("Undo").click();
    await expect(async () => assert.deepEqual(await places(), before));
  }
  await visitor.leave();
});

test("what is chosen is duplicated with the wires among it, and the copies are chosen", async () => {
  const { visitor, driver } = await withThree();
  await marquee(driver, [0.02, 0.05], [0.66, 0.55]);
  await chosen(driver, "2 parts");
  await driver.page.keyboard.press("Control+d");
  await driver.hasCounts(5, 2);
  await chosen(driver, "2 parts");
  await driver.details.getByRole("button", { name: "Duplicate" }).click();
  await driver.hasCounts(7, 3);
  await driver.page.keyboard.press("Control+z");
  await driver.page.keyboard.press("Control+z");
  await driver.hasCounts(3, 1);
  await visitor.leave();
});

test("what is chosen is copied and pasted, with the wires among it", async () => {
  const { visitor, driver } = await withThree();
  await marquee(driver, [0.02, 0.05], [0.66, 0.55]);
  await chosen(driver, "2 parts");
  await driver.page.keyboard.press("Control+c");
  await driver.says(/^Copied 2 parts/);
  await driver.page.keyboard.press("Control+v");
  await driver.hasCounts(5, 2);
  await driver.button("Undo").click();
  await driver.hasCounts(3, 1);
  await visitor.leave();
});

test("what is chosen is deleted with the wires that hang on it, by button and by key, in one step", async () => {
  const { visitor, driver } = await withThree();
  const whole = await driver.read();
  for (const deletes of [
    () => driver.details.getByRole("button", { name: "Delete", exact: true }).click(),
    () => driver.page.keyboard.press("Delete"),
  ]) {
    await clickCard(driver, "Lamp");
    await clickCard(driver, "Fan", ["Shift"]);
    await chosen(driver, "2 parts");
    await deletes();
    await driver.hasCounts(1, 0);
    await driver.button("Undo").click();
    await driver.reads(whole);
    await driver.page.keyboard.press("Escape");
  }
  await visitor.leave();
});
