// The day chart: its cursor by mouse and by keyboard, its lanes against the board, playing, and long runs.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

const DAY = 86_400_000;

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function opened(example, settings) {
  const visitor = await station.visitor(settings);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  return { visitor, driver };
}

/** The level of a battery's lane at a thousandth of the chart's width, as a share of its capacity. */
async function levelAt(driver, name, x) {
  const d = await driver.lane(name).locator("path.level").getAttribute("d");
  const points = [...d.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(([, px, py]) => [Number(px), 1 - Number(py) / 36]);
  const next = points.findIndex(([px]) => px >= x);
  if (next === 0) return points[0][1];
  const [[ax, ay], [bx, by]] = [points[next - 1], points[next]];
  return ay + ((by - ay) * (x - ax)) / (bx - ax);
}

test("the cursor dragged to dusk: the lane, the battery's line and the wire say the same", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const holds = (bars, x) => bars.some(([from, to]) => from <= x && x < to);
  for (const [share, word] of [[0.5, "off"], [0.8, "runs"]]) {
    await driver.dragCursor(share);
    const x = ((await driver.moment()) / DAY) * 1000;
    assert.ok(Math.abs(x - share * 1000) < 5, `dragged to ${x}`);
    await driver.card(`Dusk lamp, Lamp: ${word}`).waitFor();
    assert.equal(holds(await driver.bars("Dusk lamp", "runs"), x), word === "runs");
    const battery = await driver.card("Shelf battery").getAttribute("aria-label");
    const percent = Number(battery.match(/(\d+) %/)[1]);
    const drawn = (await levelAt(driver, "Shelf battery", x)) * 100;
    assert.ok(Math.abs(drawn - percent) < 1.5, `${drawn} against ${percent} %`);
    const said = await driver.wireFrom("Dusk relay", "out").locator(".wire-hit").getAttribute("aria-label");
    assert.equal(/: 2 u is taken of 27 u offered/.test(said), word === "runs", said);
  }
  await visitor.leave();
});

test("by keyboard the cursor goes from event to event, and the list goes with it", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await driver.setTime("Midnight");
  await driver.cursor.focus();
  const times = [];
  for (let n = 0; n < 3; n += 1) {
    const before = await driver.moment();
    await driver.page.keyboard.press("ArrowRight");
    await expect(async () => assert.ok((await driver.moment()) > before));
    times.push(await driver.moment());
    const [, clock] = (await driver.cursor.getAttribute("aria-valuetext")).match(/Day 1, (\d\d:\d\d)/);
    await expect(async () => assert.match(await driver.log.locator(".event[aria-current]").textContent(), new RegExp(clock)));
  }
  await driver.page.keyboard.press("ArrowLeft");
  await expect(async () => assert.equal(await driver.moment(), times[1]));
  await driver.page.keyboard.press("End");
  await expect(async () => assert.equal(await driver.moment(), DAY - 1));
  await driver.page.keyboard.press("Shift+ArrowLeft");
  await expect(async () => assert.equal(await driver.moment(), DAY - 1 - 60_000));
  await visitor.leave();
});

test("events of one part are listed alone; a click goes there and chooses the part", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const events = driver.log.getByRole("region", { name: "Events" });
  await events.getByLabel("Events of").selectOption({ label: "Dusk lamp" });
  await expect(async () => {
    const said = await events.locator(".event").allTextContents();
    assert.ok(said.length > 0 && said.every((line) => /Dusk lamp (starts|stops)/.test(line)), said.join("; "));
  });
  const last = events.locator(".event").last();
  const [, hour, minute] = (await last.textContent()).match(/(\d\d):(\d\d)/);
  await last.click();
  await driver.cursorSays(new RegExp(`^Day 1, ${hour}:${minute}`));
  await driver.details.getByRole("heading", { name: "Dusk lamp", exact: true }).waitFor();
  await visitor.leave();
});

test("a lane and its card light each other", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await driver.lane("Bunk heater").locator(".lane-name").hover();
  await expect(async () => assert.match(await driver.card("Bunk heater").getAttribute("class"), / lit/));
  const box = await driver.groundOf("Dusk lamp");
  await driver.page.mouse.move(box.x + 4, box.y + 4);
  await expect(async () => assert.match(await driver.lane("Dusk lamp").getAttribute("class"), / lit/));
  await visitor.leave();
});

test("over a lane's own field the pointer lights the card, and a chosen card brings its lane in", async () => {
  const { visitor, driver } = await opened("Kittiwake Light");
  await driver.lane("East roof panels").scrollIntoViewIfNeeded();
  const field = await driver.lane("East roof panels").locator(".lane-field").boundingBox();
  await driver.page.mouse.move(field.x + 40, field.y + 10);
  await expect(async () => assert.match(await driver.card("East roof panels").getAttribute("class"), / lit/));
  const chart = await driver.log.locator(".chart").boundingBox();
  await driver.choose("Causeway detector");
  await expect(async () => {
    const lane = await driver.lane("Causeway detector").boundingBox();
    // Heights are fractions of a pixel.
    assert.ok(lane.y >= chart.y && lane.y + lane.height <= chart.y + chart.height + 1, `${lane.y} in ${chart.y} and ${chart.height}`);
  });
  await visitor.leave();
});

test("Escape takes a pull of the cursor back, and stops playing", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const { mouse, keyboard } = driver.page;
  const before = await driver.moment();
  const field = await driver.log.locator(".cursor-field").boundingBox();
  await mouse.move(field.x + field.width * 0.2, field.y + 12);
  await mouse.down();
  await mouse.move(field.x + field.width * 0.3, field.y + 12, { steps: 3 });
  await expect(async () => assert.ok((await driver.moment()) < before));
  await keyboard.press("Escape");
  await mouse.up();
  await expect(async () => assert.equal(await driver.moment(), before));
  await driver.log.getByLabel("Speed").selectOption({ label: "10 minutes a second" });
  await driver.log.getByRole("button", { name: "Play" }).click();
  await keyboard.press("Escape");
  await driver.log.getByRole("button", { name: "Play" }).waitFor();
  await visitor.leave();
});

test("the list of events is walked by keys, and keeps the focus where an event is gone to", async () => {
  const { visitor, driver } = await opened("Kittiwake Light");
  const now = driver.log.locator(".event[aria-current]");
  await now.focus();
  await driver.page.keyboard.press("ArrowDown");
  const focused = () => driver.page.evaluate(() => document.activeElement.textContent);
  const next = await focused();
  assert.notEqual(next, await now.textContent());
  await driver.page.keyboard.press("Enter");
  await expect(async () => assert.equal(await now.textContent(), next));
  assert.equal(await focused(), next, "the focus stays on the row");
  await visitor.leave();
});

test("a day beyond the run makes the run longer; a shorter run takes the moment with it", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const day = driver.page.getByRole("spinbutton", { name: "Day" });
  await day.fill("5");
  await day.press("Enter");
  const run = driver.log.getByLabel("Length of the run");
  await expect(async () => assert.equal(await run.inputValue(), "5"));
  await driver.cursorSays(/^Day 5, 12:00$/);
  await run.selectOption({ label: "2 days" });
  await driver.cursorSays(/^Day 2, 12:00$/);
  await visitor.leave();
});

test("played, the moment goes on, the board with it, and it stops at the end of the run", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await driver.setTime("Noon");
  await driver.card("Dusk lamp, Lamp: off").waitFor();
  await driver.log.getByLabel("Speed").selectOption({ label: "a day a second" });
  await driver.log.getByRole("button", { name: "Play" }).click();
  await driver.card("Dusk lamp, Lamp: runs").waitFor();
  await expect(async () => assert.equal(await driver.moment(), DAY - 1));
  await driver.log.getByRole("button", { name: "Play" }).waitFor();
  await visitor.leave();
});

test("another plan does not go on playing", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await driver.setTime("Midnight");
  await driver.log.getByLabel("Speed").selectOption({ label: "10 minutes a second" });
  await driver.log.getByRole("button", { name: "Play" }).click();
  await driver.log.getByRole("button", { name: "Stop", exact: true }).waitFor();
  await driver.newPlan();
  await driver.log.getByRole("button", { name: "Play" }).waitFor();
  const moment = await driver.moment();
  await driver.page.waitForTimeout(300);
  assert.equal(await driver.moment(), moment);
  await visitor.leave();
});

test("milliseconds don't move what stands beside the time", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const speed = driver.log.getByLabel("Speed");
  await driver.setTime("Noon");
  const before = (await speed.boundingBox()).x;
  await driver.log.getByRole("button", { name: "Next event" }).click();
  await expect(async () => assert.match(await driver.log.locator(".play-time").textContent(), /\.\d{3}$/));
  assert.equal((await speed.boundingBox()).x, before);
  await visitor.leave();
});

test("an edit makes the chart anew", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const before = await driver.bars("Dusk lamp", "runs");
  await driver.choose("Dusk relay");
  await driver.set("Contact", "make");
  await expect(async () => assert.notDeepEqual(await driver.bars("Dusk lamp", "runs"), before));
  await driver.button("Undo").click();
  await expect(async () => assert.deepEqual(await driver.bars("Dusk lamp", "runs"), before));
  await visitor.leave();
});

test("sixty days, and until a day repeats", async () => {
  const { visitor, driver } = await opened("Kittiwake Light");
  const run = driver.log.getByLabel("Length of the run");
  await run.selectOption({ label: "60 days" });
  await expect(async () => assert.equal(Number(await driver.cursor.getAttribute("aria-valuemax")), 60 * DAY - 1));
  await driver.cursor.focus();
  await driver.page.keyboard.press("End");
  await driver.cursorSays(/^Day 60, 23:59/);
  await driver.log.getByLabel("Stretch shown").selectOption({ label: "the cursor's day" });
  await expect(async () => assert.equal(await driver.log.locator(".axis .tick").first().textContent(), "00:00"));
  await run.selectOption({ label: "until it repeats" });
  await driver.log.locator(".run-state", { hasText: /^Day \d+ repeats day \d+/ }).waitFor();
  await visitor.leave();
});

test("what the run comes to stands in the details", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const rows = driver.details.locator(".figures");
  await rows.getByText("Sources could give").waitFor();
  await driver.choose("Dusk lamp");
  await expect(async () => assert.match(await rows.textContent(), /Over 1 day.*On\d.*Starts\d/s));
  await driver.setTime("Midnight");
  await driver.choose("Shelf battery");
  await driver.details.getByText(/^At the present draw it lasts until day \d+, \d\d:\d\d\.$/).waitFor();
  await visitor.leave();
});

test("on a narrow screen the log is one of the drawers", async () => {
  const { visitor, driver } = await opened("Dusk lamp", { size: { width: 390, height: 844 }, touch: true, theme: "dark" });
  assert.equal(await driver.log.isVisible(), false);
  await driver.page.getByRole("button", { name: "Log", exact: true }).click();
  await driver.log.waitFor();
  await assertAccessible(driver.page);
  await visitor.leave();
});
