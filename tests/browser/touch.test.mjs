// A narrow screen worked by finger: the drawer, two parts, a wire from tap to tap, pinch.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const NARROW = { size: { width: 390, height: 844 }, touch: true };

/** Takes a part type from the drawer and taps the board where it is to stand. */
async function placeByTap(driver, label, share) {
  const { page } = driver;
  const [parts, wires] = await driver.counts();
  await page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Shelf" }).tap();
  await driver.kind(label).tap();
  // The drawer has closed: the whole board is there.
  await driver.shelf.waitFor({ state: "hidden" });
  const { x, y } = await driver.at(share);
  await page.touchscreen.tap(x, y);
  await driver.hasCounts(parts + 1, wires);
}

const SCREENS = [NARROW, { size: { width: 844, height: 390 }, touch: true }];

/** Moves one finger over the screen: down at `from`, in steps to `to`, and up. `hold`: it rests so long before it moves, in ms. */
async function slide(visitor, driver, from, to, hold = 0) {
  const touch = await visitor.context.newCDPSession(driver.page);
  const send = (type, touchPoints) => touch.send("Input.dispatchTouchEvent", { type, touchPoints });
  await send("touchStart", [{ ...from, id: 0 }]);
  if (hold) await driver.page.waitForTimeout(hold);
  for (let step = 1; step <= 8; step += 1) {
    const part = (a, b) => a + (b - a) * step / 8;
    await send("touchMove", [{ x: part(from.x, to.x), y: part(from.y, to.y), id: 0 }]);
    await driver.page.waitForTimeout(20);
  }
  await send("touchEnd", []);
}

for (const screen of SCREENS) {
  const { width, height } = screen.size;
  test(`one finger moves the board, moves a card and draws a wire at ${width} × ${height}`, async () => {
    const visitor = await station.visitor(screen);
    const driver = new PageDriver(await visitor.open());
    await placeByTap(driver, "Sun panel", width < height ? [0.4, 0.3] : [0.12, 0.5]);
    await placeByTap(driver, "Lamp", width < height ? [0.6, 0.75] : [0.8, 0.5]);

    const panel = await driver.centreOf("Sun panel");
    const paper = await driver.at([0.5, 0.06]);
    await slide(visitor, driver, paper, { x: paper.x - 60, y: paper.y + 24 });
    await expect(async () => {
      const { x, y } = await driver.centreOf("Sun panel");
      assert.deepEqual([Math.round(x - panel.x), Math.round(y - panel.y)], [-60, 24]);
    });

    const lamp = await driver.centreOf("Lamp");
    const scale = await driver.scale();
    await slide(visitor, driver, lamp, { x: lamp.x - 48 * scale, y: lamp.y - 32 * scale });
    await expect(async () => {
      const { x, y } = await driver.centreOf("Lamp");
      assert.deepEqual([Math.round((x - lamp.x) / scale), Math.round((y - lamp.y) / scale)], [-48, -32]);
    });

    const [out, into] = [await driver.portAt("Sun panel", "out"), await driver.portAt("Lamp", "in")];
    await slide(visitor, driver, out, into);
    await driver.hasCounts(2, 1);
    await driver.hasWire("Sun panel", "out", "Lamp", "in");
    await visitor.leave();
  });
}

test("two parts are placed from the drawer, wired by two taps, and the wire read", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  await placeByTap(driver, "Sun panel", [0.35, 0.25]);
  await placeByTap(driver, "Lamp", [0.65, 0.75]);
  for (const [name, port] of [["Sun panel", "out"], ["Lamp", "in"]]) {
    const { x, y } = await driver.portAt(name, port);
    await driver.page.touchscreen.tap(x, y);
  }
  await driver.hasWire("Sun panel", "out", "Lamp", "in");
  await driver.readsOnWire("Sun panel", "out", "2 / 9");

  const { x, y } = await driver.portAt("Lamp", "in");
  await driver.page.touchscreen.tap(x + 80, y);
  await driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Details" }).tap();
  await driver.details.getByRole("heading", { name: "Lamp", exact: true }).waitFor();
  await driver.readsInDetails("Runs on 2 u.");
  await visitor.leave();
});

test("nothing on the narrow page lies beside it, and what is to be tapped is large enough", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  for (const pane of ["Shelf", "Details", "Problems", "Log"]) {
    await driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: pane }).tap();
    const wide = await driver.page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= 390, `${pane} makes the page ${wide} px wide`);
    // WCAG 2.2, 2.5.8: 24 by 24.
    const small = await driver.page.evaluate(() => [...document.querySelectorAll("button, select, input:not([hidden])")]
      .map((e) => [e, e.getBoundingClientRect()])
      .filter(([e, box]) => box.width > 0 && e.checkVisibility() && (box.width < 24 || box.height < 24))
      .map(([e, box]) => `${e.textContent || e.id}: ${box.width} × ${box.height}`));
    assert.deepEqual(small, []);
  }
  await visitor.leave();
});

test("at Fit a port that is drawn is a target of 24 pixels, and a tap at its rim begins a wire", async () => {
  const visitor = await station.visitor({ size: { width: 932, height: 430 }, touch: true });
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.button("Fit").tap();
  const scale = await driver.scale();
  assert.ok(scale < 0.7, `seen from afar, ${scale}`);
  const hits = await driver.paper.locator(".port-hit").evaluateAll((all) => all.map((hit) => hit.getBoundingClientRect()).map(({ width, height }) => Math.min(width, height)));
  assert.ok(hits.length > 0 && hits.every((size) => size >= 24), `${hits}`);
  const { x, y } = await driver.portAt("Roof panel", "out");
  await driver.page.touchscreen.tap(x + 10, y - 4);
  await driver.page.locator(".paper.joining").waitFor();
  await visitor.leave();
});

test("parts that were placed stay where they are in the window while the drawer opens and closes", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  await placeByTap(driver, "Sun panel", [0.4, 0.2]);
  // From the board's corner: the bar above it becomes a line higher when a problem comes.
  const place = async () => {
    const [at, paper] = [await driver.centreOf("Sun panel"), await driver.paper.boundingBox()];
    return [Math.round(at.x - paper.x), Math.round(at.y - paper.y)];
  };
  const first = await place();
  for (const [label, share] of [["Heater", [0.4, 0.4]], ["Lamp", [0.4, 0.6]], ["Relay", [0.4, 0.75]]]) {
    await placeByTap(driver, label, share);
    await expect(async () => assert.deepEqual(await place(), first, label));
  }
  await visitor.leave();
});

test("two fingers make the board larger", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  await placeByTap(driver, "Lamp", [0.5, 0.4]);
  const wide = async () => (await driver.groundOf("Lamp")).width;
  const before = await wide();
  const { x, y } = await driver.at([0.5, 0.4]);
  const touch = await visitor.context.newCDPSession(driver.page);
  const fingers = (apart) => [{ x: x - apart, y, id: 0 }, { x: x + apart, y, id: 1 }];
  await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: fingers(20) });
  for (const apart of [30, 40, 50]) {
    await touch.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: fingers(apart) });
  }
  await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  await expect(async () => assert.ok(await wide() > before * 1.8, `${before} became ${await wide()}`));
  await driver.hasCounts(1, 0);
  await visitor.leave();
});

test("a swipe scrolls the shelf; a sideways drag and a long press take a part out", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  const shelf = driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Shelf" });
  const middleOf = async (label) => {
    const box = await driver.kind(label).boundingBox();
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  };
  await shelf.tap();
  const from = await middleOf("Sun panel");
  await slide(visitor, driver, { x: from.x, y: from.y + 120 }, { x: from.x, y: from.y });
  await expect(async () => assert.ok(await driver.shelf.evaluate((e) => e.scrollTop) > 60));
  await driver.shelf.waitFor({ state: "visible" });
  await driver.hasCounts(0, 0);

  // Once the shelf has come to rest at its top.
  const atTop = async (label) => {
    await expect(async () => {
      await driver.shelf.evaluate((e) => { e.scrollTop = 0; });
      await driver.page.waitForTimeout(100);
      assert.equal(await driver.shelf.evaluate((e) => e.scrollTop), 0);
    });
    return middleOf(label);
  };
  const steep = await atTop("Sun panel");
  await slide(visitor, driver, steep, { x: steep.x - 120, y: steep.y - 300 });
  await driver.hasCounts(0, 0);
  const across = await atTop("Sun panel");
  await slide(visitor, driver, across, { x: across.x - 120, y: across.y - 60 });
  await driver.hasCounts(1, 0);
  await driver.card("Sun panel").waitFor();

  await shelf.tap();
  const up = await middleOf("Sun panel");
  await slide(visitor, driver, up, { x: up.x, y: up.y - 300 }, 700);
  await driver.hasCounts(2, 0);
  await visitor.leave();
});

for (const size of [{ width: 844, height: 390 }, { width: 932, height: 430 }]) {
  test(`a low screen of ${size.width} × ${size.height} has a board, with a pane open too`, async () => {
    const visitor = await station.visitor({ size, touch: true });
    const driver = new PageDriver(await visitor.open());
    await driver.openExample("Dusk lamp");
    const board = await driver.paper.boundingBox();
    assert.ok(board.height > size.height / 2 && board.width > size.width * 0.8, JSON.stringify(board));
    for (const pane of ["Shelf", "Details", "Problems", "Log"]) {
      await driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: pane }).tap();
      const left = await driver.paper.boundingBox();
      assert.ok(left.height > size.height / 2 && left.width > size.width / 3, `${pane}: ${JSON.stringify(left)}`);
      const wide = await driver.page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.scrollHeight]);
      assert.ok(wide[0] <= size.width && wide[1] <= size.height, `${pane} makes the page ${wide}`);
    }
    await visitor.leave();
  });
}

for (const screen of SCREENS) {
  const { width, height } = screen.size;
  test(`the details hide no chosen part at ${width} × ${height}`, async () => {
    const visitor = await station.visitor(screen);
    const driver = new PageDriver(await visitor.open());
    await driver.openExample("Dusk lamp");
    const details = driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Details" });
    for (const card of await driver.paper.locator("g.card").all()) {
      const { x, y, width: wide, height: high } = await card.locator("rect.ground").boundingBox();
      await driver.page.touchscreen.tap(x + wide / 2, y + high / 2);
      await expect(async () => assert.match(await card.getAttribute("class"), / chosen/));
      await details.tap();
      await expect(async () => {
        const [paper, box] = [await driver.paper.boundingBox(), await card.locator("rect.ground").boundingBox()];
        const tools = await driver.page.locator(".board-tools").boundingBox();
        const inside = box.x >= paper.x && box.y >= paper.y && box.x + box.width <= paper.x + paper.width
          && box.y + box.height <= tools.y;
        assert.ok(inside, JSON.stringify([paper, box, tools]));
      });
      await details.tap();
      await driver.button("Fit").tap();
    }
    await visitor.leave();
  });
}

test("a screen without a keyboard is told to tap", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  const welcome = driver.page.getByRole("region", { name: "An empty board" });
  const mobile = await driver.page.evaluate(() => matchMedia("(pointer: coarse)").matches);
  assert.ok(mobile, "this browser calls a finger coarse");
  const said = await welcome.innerText();
  assert.match(said, /Tap a sun panel/);
  assert.doesNotMatch(said, /Enter/);
  await visitor.leave();
});

/** The sizes of all names on the board, in pixels of the screen. */
const namesOf = (driver) => driver.paper.locator("g.card text.name").evaluateAll((all) =>
  all.map((name) => parseFloat(getComputedStyle(name).fontSize) * name.getScreenCTM().a));

for (const screen of SCREENS) {
  const { width, height } = screen.size;
  test(`the station opens with names that can be read, and tells what lies beyond, at ${width} × ${height}`, async () => {
    const visitor = await station.visitor(screen);
    const driver = new PageDriver(await visitor.open());
    await driver.openExample("Kittiwake Light");
    await expect(async () => {
      const sizes = await namesOf(driver);
      assert.ok(sizes.length > 5 && sizes.every((size) => size >= 10.99), `${sizes}`);
    });
    await expect(async () => assert.ok((await driver.card("East roof panels").boundingBox()).x >= 0));
    // A side at a time, a tap leads on to every part.
    const far = driver.page.locator(".beyond");
    const said = await far.first().getAttribute("aria-label");
    assert.match(said, /^\d+ more parts? (to the right|below)$/);
    const box = await far.first().boundingBox();
    assert.ok(box.width >= 24 && box.height >= 24, JSON.stringify(box));
    const side = said.replace(/^.* parts? /, "");
    const on = driver.page.getByRole("button", { name: new RegExp(` ${side}$`) });
    for (let taps = 0; await on.count(); taps += 1) {
      assert.ok(taps < 8, `there is no end ${side}`);
      const before = await on.textContent();
      await on.tap();
      await expect(async () => assert.ok(!await on.count() || await on.textContent() !== before));
    }
    await driver.button("Fit").tap();
    await expect(async () => assert.equal(await far.count(), 0));
    const whole = await driver.paper.locator("g.card rect.ground").evaluateAll((all) => all.map((e) => e.getBoundingClientRect()).every((b) => b.left >= 0 && b.right <= innerWidth && b.top >= 0 && b.bottom <= innerHeight));
    assert.ok(whole, "Fit shows the whole plan");
    await visitor.leave();
  });
}

test("tidied on a phone held upright the station has names that can be read at Fit, and one undo takes it back", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  await driver.button("Tidy").tap();
  await driver.says(/^Done: tidy the plan/);
  await driver.button("Fit").tap();
  await expect(async () => {
    const sizes = await namesOf(driver);
    assert.ok(sizes.length >= 33 && sizes.every((size) => size >= 10.99), `${sizes}`);
  });
  await driver.button("Undo").tap();
  await expect(async () => assert.ok(await driver.button("Undo").isDisabled()));
  await visitor.leave();
});

for (const screen of SCREENS) {
  const { width, height } = screen.size;
  test(`what the page says covers nothing of the bar at ${width} × ${height}`, async () => {
    const visitor = await station.visitor(screen);
    const driver = new PageDriver(await visitor.open());
    await driver.openExample("Kittiwake Light");
    await driver.page.getByText("All 6 duties kept").first().waitFor();
    await driver.button("Menu").tap();
    await driver.button("Copy link").tap();
    await driver.says(/^Link copied/);
    const [bar, notice] = await Promise.all([".bar", ".notice"].map((name) => driver.page.locator(name).boundingBox()));
    assert.ok(notice.y >= bar.y + bar.height && notice.x >= 0 && notice.x + notice.width <= width, JSON.stringify([bar, notice]));
    await visitor.leave();
  });
}

test("the log's tabs are one row that scrolls to the open one, and the losses fit beside nothing", async () => {
  const visitor = await station.visitor(NARROW);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  await driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Log" }).tap();
  const tabs = driver.log.getByRole("tab");
  const tops = await tabs.evaluateAll((all) => all.map((tab) => tab.getBoundingClientRect().top));
  assert.equal(new Set(tops).size, 1, `${tops}`);
  await driver.logTab("Day").focus();
  for (const key of ["End", "Home"]) {
    await driver.page.keyboard.press(key);
    await expect(async () => {
      const box = await driver.log.locator('[role="tab"][aria-selected="true"]').boundingBox();
      assert.ok(box.x >= 0 && box.x + box.width <= 390, JSON.stringify(box));
    });
  }
  await driver.openLogPage("Losses");
  const rows = driver.log.getByRole("table", { name: "Losses that break a duty, the worst first" }).getByRole("row");
  await expect(async () => assert.ok(await rows.count() > 3));
  const wide = await driver.log.evaluate((log) => [...log.querySelectorAll(".log-page, .proof-page, .proof-table")].map((e) => [e.className, e.scrollWidth, e.getBoundingClientRect().right]));
  assert.ok(wide.every(([, width, right]) => width <= 390 && right <= 390), JSON.stringify(wide));
  const heads = await rows.nth(1).getByRole("cell").evaluateAll((all) => all.map((cell) => getComputedStyle(cell, "::before").content));
  assert.match(heads.join(), /First broken: .*Load lost a day: .*Unserved a day: /, "each number has its column's name");
  await visitor.leave();
});
