// A wire's course led by hand: a bend drawn out of it, moved, taken out again by mouse and by key, straightened, undone.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const ITSELF = "On the board its line is laid out by itself.";
const middle = (box) => ({ x: box.x + box.width / 2, y: box.y + box.height / 2 });
/** Places snap to the board's squares of 8 pixels. */
const isNear = (a, b) => Math.hypot(a.x - b.x, a.y - b.y) <= 8;

/** A wire from a panel down to a lamp, chosen, so that its handles show. */
async function withWire() {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Sun panel", [0.2, 0.2]);
  await driver.placePart("Lamp", [0.7, 0.7]);
  await driver.wire("Sun panel", "out", "Lamp", "in");
  await driver.chooseWire("Sun panel", "out");
  const bend = (n) => driver.paper.getByRole("button", { name: `Bend ${n}`, exact: true });
  const says = (text) => driver.details.getByText(text, { exact: true }).waitFor();
  await says(ITSELF);
  return { visitor, driver, bend, says };
}

/** Where a new bend can be drawn out of the wire: a handle that no label lies on. */
function newBend(driver) {
  return expect(async () => {
    const found = await driver.paper.evaluate((paper) => {
      for (const handle of paper.querySelectorAll("[data-new]")) {
        const box = handle.getBoundingClientRect();
        const place = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
        if (document.elementFromPoint(place.x, place.y)?.closest("[data-new]") === handle) return place;
      }
      return null;
    });
    assert.ok(found, "no handle from which a bend can be drawn");
    return found;
  });
}

/** Draws a bend out of the wire by `dx` and `dy`; answers where it was dropped. */
async function drawBend(driver, dx, dy) {
  const from = await newBend(driver);
  const to = { x: from.x + dx, y: from.y + dy };
  await driver.drag(from, to);
  return to;
}

test("a bend is drawn out of a wire, stays where it was dropped, and is one step", async () => {
  const { visitor, driver, bend, says } = await withWire();
  const to = await drawBend(driver, 72, 24);
  await says("Led through 1 bend by hand.");
  const at = middle(await bend(1).boundingBox());
  assert.ok(isNear(at, to), `dropped at ${JSON.stringify(to)}, stands at ${JSON.stringify(at)}`);
  await driver.hasWire("Sun panel", "out", "Lamp", "in");
  await driver.button("Undo").click();
  await says(ITSELF);
  await expect(async () => assert.equal(await bend(1).count(), 0));
  await driver.button("Redo").click();
  await says("Led through 1 bend by hand.");
  await visitor.leave();
});

test("a bend is moved by its handle, in one step", async () => {
  const { visitor, driver, bend, says } = await withWire();
  await drawBend(driver, 72, 24);
  await says("Led through 1 bend by hand.");
  const first = middle(await bend(1).boundingBox());
  const to = { x: first.x - 40, y: first.y + 64 };
  await driver.drag(first, to);
  await expect(async () => assert.ok(isNear(middle(await bend(1).boundingBox()), to)));
  await says("Led through 1 bend by hand.");
  await driver.button("Undo").click();
  await expect(async () => assert.ok(isNear(middle(await bend(1).boundingBox()), first)));
  await visitor.leave();
});

test("a bend is taken out by a double click, and by the Delete key", async () => {
  const { visitor, driver, bend, says } = await withWire();
  await drawBend(driver, 72, 24);
  await says("Led through 1 bend by hand.");
  const at = middle(await bend(1).boundingBox());
  await driver.page.mouse.dblclick(at.x, at.y);
  await says(ITSELF);
  await driver.button("Undo").click();
  await says("Led through 1 bend by hand.");
  await bend(1).focus();
  await driver.page.keyboard.press("Delete");
  await says(ITSELF);
  // The wire itself stays.
  await driver.hasCounts(2, 1);
  await visitor.leave();
});

test("a wire of several bends is straightened at once, and a part that moves leaves its bends where they are", async () => {
  const { visitor, driver, bend, says } = await withWire();
  await drawBend(driver, 72, 24);
  await says("Led through 1 bend by hand.");
  await drawBend(driver, 40, 40);
  await says("Led through 2 bends by hand.");
  const places = async () => [middle(await bend(1).boundingBox()), middle(await bend(2).boundingBox())];
  const before = await places();
  const lamp = await driver.centreOf("Lamp");
  await driver.drag(lamp, { x: lamp.x + 64, y: lamp.y });
  await driver.chooseWire("Sun panel", "out");
  const after = await places();
  assert.ok(isNear(before[0], after[0]) && isNear(before[1], after[1]));
  await driver.details.getByRole("button", { name: "Straighten" }).click();
  await says(ITSELF);
  assert.equal(await bend(1).count(), 0);
  await driver.button("Undo").click();
  await says("Led through 2 bends by hand.");
  await visitor.leave();
});
