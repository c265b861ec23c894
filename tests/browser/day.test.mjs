// The day chart: its cursor by mouse and by keyboard, its lanes against the board, playing, and long runs.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

const DAY = 86_400_000;

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function opened(example, settings) {
  const visitor = await station.visitor(settings);
  const desk = new Desk(await visitor.open());
  await desk.openExample(example);
  return { visitor, desk };
}

/** The level of a battery's lane at a thousandth of the chart's width, as a share of its capacity. */
async function levelAt(desk, name, x) {
  const d = await desk.lane(name).locator("path.level").getAttribute("d");
  const points = [...d.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(([, px, py]) => [Number(px), 1 - Number(py) / 36]);
  const next = points.findIndex(([px]) => px >= x);
  if (next === 0) return points[0][1];
  const [[ax, ay], [bx, by]] = [points[next - 1], points[next]];
  return ay + ((by - ay) * (x - ax)) / (bx - ax);
}

test("the cursor dragged to dusk: the lane, the battery's line and the wire's label say the same", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  const holds = (bars, x) => bars.some(([from, to]) => from <= x && x < to);
  for (const [share, word] of [[0.5, "off"], [0.8, "runs"]]) {
    await desk.dragCursor(share);
    const x = ((await desk.moment()) / DAY) * 1000;
    assert.ok(Math.abs(x - share * 1000) < 5, `dragged to ${x}`);
    await desk.card(`Dusk lamp, Lamp: ${word}`).waitFor();
    assert.equal(holds(await desk.bars("Dusk lamp", "runs"), x), word === "runs");
    const battery = await desk.card("Shelf battery").getAttribute("aria-label");
    const percent = Number(battery.match(/(\d+) %/)[1]);
    const drawn = (await levelAt(desk, "Shelf battery", x)) * 100;
    assert.ok(Math.abs(drawn - percent) < 1.5, `${drawn} against ${percent} %`);
    await desk.readsOnWire("Dusk relay", "out", word === "runs" ? "2 / 27" : "0 / 0");
  }
  await visitor.leave();
});

test("by keyboard the cursor goes from event to event, and the list goes with it", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  await desk.setTime("Midnight");
  await desk.cursor.focus();
  const times = [];
  for (let n = 0; n < 3; n += 1) {
    const before = await desk.moment();
    await desk.page.keyboard.press("ArrowRight");
    await expect(async () => assert.ok((await desk.moment()) > before));
    times.push(await desk.moment());
    const [, clock] = (await desk.cursor.getAttribute("aria-valuetext")).match(/Day 1, (\d\d:\d\d)/);
    await expect(async () => assert.match(await desk.log.locator(".event[aria-current]").textContent(), new RegExp(clock)));
  }
  await desk.page.keyboard.press("ArrowLeft");
  await expect(async () => assert.equal(await desk.moment(), times[1]));
  await desk.page.keyboard.press("End");
  await expect(async () => assert.equal(await desk.moment(), DAY - 1));
  await desk.page.keyboard.press("Shift+ArrowLeft");
  await expect(async () => assert.equal(await desk.moment(), DAY - 1 - 60_000));
  await visitor.leave();
});

test("events of one part are listed alone; a click goes there and chooses the part", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  const events = desk.log.getByRole("region", { name: "Events" });
  await events.getByLabel("Events of").selectOption({ label: "Dusk lamp" });
  await expect(async () => {
    const said = await events.locator(".event").allTextContents();
    assert.ok(said.length > 0 && said.every((line) => /Dusk lamp (starts|stops)/.test(line)), said.join("; "));
  });
  const last = events.locator(".event").last();
  const [, hour, minute] = (await last.textContent()).match(/(\d\d):(\d\d)/);
  await last.click();
  await desk.cursorSays(new RegExp(`^Day 1, ${hour}:${minute}`));
  await desk.details.getByRole("heading", { name: "Dusk lamp", exact: true }).waitFor();
  await visitor.leave();
});

test("a lane and its card light each other", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  await desk.lane("Bunk heater").getByRole("button").hover();
  await expect(async () => assert.match(await desk.card("Bunk heater").getAttribute("class"), / lit/));
  const box = await desk.card("Dusk lamp").locator("rect.ground").boundingBox();
  await desk.page.mouse.move(box.x + 4, box.y + 4);
  await expect(async () => assert.match(await desk.lane("Dusk lamp").getAttribute("class"), / lit/));
  await visitor.leave();
});

test("over a lane's own field the pointer lights the card, and a chosen card brings its lane in", async () => {
  const { visitor, desk } = await opened("Kittiwake Light");
  const field = await desk.lane("East roof panels").locator(".lane-field").boundingBox();
  await desk.page.mouse.move(field.x + 40, field.y + 10);
  await expect(async () => assert.match(await desk.card("East roof panels").getAttribute("class"), / lit/));
  const chart = await desk.log.locator(".chart").boundingBox();
  await desk.choose("Causeway detector");
  await expect(async () => {
    const lane = await desk.lane("Causeway detector").boundingBox();
    // Heights are fractions of a pixel.
    assert.ok(lane.y >= chart.y && lane.y + lane.height <= chart.y + chart.height + 1, `${lane.y} in ${chart.y} and ${chart.height}`);
  });
  await visitor.leave();
});

test("Escape takes a pull of the cursor back, and stops playing", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  const { mouse, keyboard } = desk.page;
  const before = await desk.moment();
  const field = await desk.log.locator(".cursor-field").boundingBox();
  await mouse.move(field.x + field.width * 0.2, field.y + 12);
  await mouse.down();
  await mouse.move(field.x + field.width * 0.3, field.y + 12, { steps: 3 });
  await expect(async () => assert.ok((await desk.moment()) < before));
  await keyboard.press("Escape");
  await mouse.up();
  await expect(async () => assert.equal(await desk.moment(), before));
  await desk.log.getByLabel("Speed").selectOption({ label: "10 minutes a second" });
  await desk.log.getByRole("button", { name: "Play" }).click();
  await keyboard.press("Escape");
  await desk.log.getByRole("button", { name: "Play" }).waitFor();
  await visitor.leave();
});

test("the list of events is walked by keys, and keeps the focus where an event is gone to", async () => {
  const { visitor, desk } = await opened("Kittiwake Light");
  const now = desk.log.locator(".event[aria-current]");
  await now.focus();
  await desk.page.keyboard.press("ArrowDown");
  const focused = () => desk.page.evaluate(() => document.activeElement.textContent);
  const next = await focused();
  assert.notEqual(next, await now.textContent());
  await desk.page.keyboard.press("Enter");
  await expect(async () => assert.equal(await now.textContent(), next));
  assert.equal(await focused(), next, "the focus stays on the row");
  await visitor.leave();
});

test("a day beyond the run makes the run longer; a shorter run takes the moment with it", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  const day = desk.page.getByRole("spinbutton", { name: "Day" });
  await day.fill("5");
  await day.press("Enter");
  const run = desk.log.getByLabel("Length of the run");
  await expect(async () => assert.equal(await run.inputValue(), "5"));
  await desk.cursorSays(/^Day 5, 12:00$/);
  await run.selectOption({ label: "2 days" });
  await desk.cursorSays(/^Day 2, 12:00$/);
  await visitor.leave();
});

test("played, the moment goes on, the board with it, and it stops at the end of the run", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  await desk.setTime("Noon");
  await desk.card("Dusk lamp, Lamp: off").waitFor();
  await desk.log.getByLabel("Speed").selectOption({ label: "a day a second" });
  await desk.log.getByRole("button", { name: "Play" }).click();
  await desk.card("Dusk lamp, Lamp: runs").waitFor();
  await expect(async () => assert.equal(await desk.moment(), DAY - 1));
  await desk.log.getByRole("button", { name: "Play" }).waitFor();
  await visitor.leave();
});

test("an edit makes the chart anew", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  const before = await desk.bars("Dusk lamp", "runs");
  await desk.choose("Dusk relay");
  await desk.set("Contact", "make");
  await expect(async () => assert.notDeepEqual(await desk.bars("Dusk lamp", "runs"), before));
  await desk.button("Undo").click();
  await expect(async () => assert.deepEqual(await desk.bars("Dusk lamp", "runs"), before));
  await visitor.leave();
});

test("sixty days, and until a day repeats", async () => {
  const { visitor, desk } = await opened("Kittiwake Light");
  const run = desk.log.getByLabel("Length of the run");
  await run.selectOption({ label: "60 days" });
  await expect(async () => assert.equal(Number(await desk.cursor.getAttribute("aria-valuemax")), 60 * DAY - 1));
  await desk.cursor.focus();
  await desk.page.keyboard.press("End");
  await desk.cursorSays(/^Day 60, 23:59/);
  await desk.log.getByLabel("Stretch shown").selectOption({ label: "the cursor's day" });
  await expect(async () => assert.equal(await desk.log.locator(".axis .tick").first().textContent(), "00:00"));
  await run.selectOption({ label: "until it repeats" });
  await desk.log.locator(".run-state", { hasText: /^Day \d+ repeats day \d+/ }).waitFor();
  await visitor.leave();
});

test("what the run comes to stands in the details", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  const rows = desk.details.locator(".figures");
  await rows.getByText("Sources could give").waitFor();
  await desk.choose("Dusk lamp");
  await expect(async () => assert.match(await rows.textContent(), /Over 1 day.*On\d.*Starts\d/s));
  await desk.setTime("Midnight");
  await desk.choose("Shelf battery");
  await desk.details.getByText(/^At the present draw it lasts until day \d+, \d\d:\d\d\.$/).waitFor();
  await visitor.leave();
});

test("on a narrow screen the log is one of the drawers", async () => {
  const { visitor, desk } = await opened("Dusk lamp", { size: { width: 390, height: 844 }, touch: true, theme: "dark" });
  assert.equal(await desk.log.isVisible(), false);
  await desk.page.getByRole("button", { name: "Log", exact: true }).click();
  await desk.log.waitFor();
  await assertAccessible(desk.page);
  await visitor.leave();
});
