// Several parts at once: chosen by a marquee and with Shift, moved together, lined up, copied, duplicated, deleted.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** A panel and a lamp with a wire between them on the left, a fan apart on the right. */
async function withThree() {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Sun panel", [0.15, 0.2]);
  await desk.placePart("Lamp", [0.45, 0.3]);
  await desk.placePart("Fan", [0.8, 0.75]);
  await desk.wire("Sun panel", "out", "Lamp", "in");
  // Nothing chosen: a marquee with Shift adds to what is.
  await desk.clickPaper();
  await desk.page.keyboard.press("Escape");
  return { visitor, desk };
}

/** Waits until the details speak of what is chosen. */
const chosen = (desk, said) => desk.details.getByRole("heading", { name: said, exact: true }).waitFor();

/** Draws a marquee with Shift held, over shares of the board. */
async function marquee(desk, from, to) {
  await desk.page.keyboard.down("Shift");
  await desk.drag(await desk.at(from), await desk.at(to));
  await desk.page.keyboard.up("Shift");
}

async function clickCard(desk, name, modifiers = []) {
  const { x, y } = await desk.centreOf(name);
  for (const key of modifiers) await desk.page.keyboard.down(key);
  await desk.page.mouse.click(x, y);
  for (const key of modifiers) await desk.page.keyboard.up(key);
}

test("a marquee chooses what it meets, Shift adds one and takes one away, Escape lets go of all", async () => {
  const { visitor, desk } = await withThree();
  await marquee(desk, [0.02, 0.05], [0.66, 0.55]);
  await chosen(desk, "2 parts");
  await clickCard(desk, "Fan", ["Shift"]);
  await chosen(desk, "3 parts");
  await clickCard(desk, "Lamp", ["Shift"]);
  await chosen(desk, "2 parts");
  await expect(async () => assert.match(await desk.card("Fan").getAttribute("aria-label"), /, chosen$/));
  assert.doesNotMatch(await desk.card("Lamp").getAttribute("aria-label"), /, chosen$/);
  await desk.page.keyboard.press("Escape");
  await expect(async () => assert.doesNotMatch(await desk.card("Fan").getAttribute("aria-label"), /, chosen$/));
  await visitor.leave();
});

test("with “Choose” pressed a plain drag on the paper is a marquee", async () => {
  const { visitor, desk } = await withThree();
  await desk.button("Choose").click();
  await expect(async () => assert.equal(await desk.button("Choose").getAttribute("aria-pressed"), "true"));
  await desk.drag(await desk.at([0.02, 0.05]), await desk.at([0.66, 0.55]));
  await chosen(desk, "2 parts");
  const before = await desk.centreOf("Fan");
  await desk.button("Choose").click();
  await desk.drag(await desk.at([0.5, 0.9]), await desk.at([0.6, 0.9]));
  await expect(async () => assert.ok((await desk.centreOf("Fan")).x > before.x + 20, "the paper moves again"));
  await visitor.leave();
});

test("what is chosen moves together by mouse and by key, each time in one step", async () => {
  const { visitor, desk } = await withThree();
  await marquee(desk, [0.02, 0.05], [0.66, 0.55]);
  await chosen(desk, "2 parts");
  const places = async () => Promise.all(["Sun panel", "Lamp", "Fan"].map((name) => desk.centreOf(name)));
  const before = await places();
  await desk.drag(before[1], { x: before[1].x + 48, y: before[1].y + 64 });
  const by = (now, n) => [now[n].x - before[n].x, now[n].y - before[n].y].map(Math.round);
  await expect(async () => {
    const now = await places();
    assert.deepEqual(by(now, 0), by(now, 1));
    assert.ok(by(now, 0)[0] >= 40 && by(now, 0)[1] >= 56, `moved by ${by(now, 0)}`);
    assert.deepEqual(by(now, 2), [0, 0]);
  });
  await desk.page.keyboard.press("Control+z");
  await expect(async () => assert.deepEqual(await places(), before));
  await desk.page.keyboard.press("Shift+ArrowDown");
  await expect(async () => {
    const now = await places();
    assert.deepEqual(by(now, 0), by(now, 1));
    assert.deepEqual(by(now, 0), [0, Math.round(40 * await desk.scale())]);
  });
  await desk.page.keyboard.press("Control+z");
  await expect(async () => assert.deepEqual(await places(), before));
  await visitor.leave();
});

test("parts are lined up by their left edges and their top edges", async () => {
  const { visitor, desk } = await withThree();
  await desk.clickPaper();
  await desk.page.keyboard.press("Control+a");
  await chosen(desk, "3 parts, 1 wire");
  const places = async () => Promise.all(["Sun panel", "Lamp", "Fan"].map((name) => desk.centreOf(name)));
  const before = await places();
  for (const [edges, axis] of [["left", "x"], ["top", "y"]]) {
    await desk.details.getByRole("button", { name: `Line up ${edges} edges` }).click();
    await expect(async () => assert.equal(new Set((await places()).map((place) => Math.round(place[axis]))).size, 1));
    await desk.button("Undo").click();
    await expect(async () => assert.deepEqual(await places(), before));
  }
  await visitor.leave();
});

test("what is chosen is duplicated with the wires among it, and the copies are chosen", async () => {
  const { visitor, desk } = await withThree();
  await marquee(desk, [0.02, 0.05], [0.66, 0.55]);
  await chosen(desk, "2 parts");
  await desk.page.keyboard.press("Control+d");
  await desk.hasCounts(5, 2);
  await chosen(desk, "2 parts");
  await desk.details.getByRole("button", { name: "Duplicate" }).click();
  await desk.hasCounts(7, 3);
  await desk.page.keyboard.press("Control+z");
  await desk.page.keyboard.press("Control+z");
  await desk.hasCounts(3, 1);
  await visitor.leave();
});

test("what is chosen is copied and pasted, with the wires among it", async () => {
  const { visitor, desk } = await withThree();
  await marquee(desk, [0.02, 0.05], [0.66, 0.55]);
  await chosen(desk, "2 parts");
  await desk.page.keyboard.press("Control+c");
  await desk.says(/^Copied 2 parts/);
  await desk.page.keyboard.press("Control+v");
  await desk.hasCounts(5, 2);
  await desk.button("Undo").click();
  await desk.hasCounts(3, 1);
  await visitor.leave();
});

test("what is chosen is deleted with the wires that hang on it, by button and by key, in one step", async () => {
  const { visitor, desk } = await withThree();
  const whole = await desk.read();
  for (const deletes of [
    () => desk.details.getByRole("button", { name: "Delete", exact: true }).click(),
    () => desk.page.keyboard.press("Delete"),
  ]) {
    await clickCard(desk, "Lamp");
    await clickCard(desk, "Fan", ["Shift"]);
    await chosen(desk, "2 parts");
    await deletes();
    await desk.hasCounts(1, 0);
    await desk.button("Undo").click();
    await desk.reads(whole);
    await desk.page.keyboard.press("Escape");
  }
  await visitor.leave();
});
