// The aim of a sun panel by mouse, by keyboard and by the best aims' buttons; and the world's picture of the day.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** A driver with the dusk lamp open and its panel chosen. */
async function atThePanel(settings) {
  const visitor = await station.visitor(settings);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.choose("Roof panel");
  const aim = driver.details.getByRole("region", { name: "Aim" });
  await aim.waitFor();
  return { visitor, driver, aim, knob: aim.getByRole("slider", { name: "Aim" }) };
}

const says = (knob, expected) => expect(async () => assert.equal(await knob.getAttribute("aria-valuetext"), expected));
const gives = (aim) => aim.locator(".aim-gives").textContent();
const energy = (said) => Number(said.match(/([\d.]+) u·h/)[1]);
/** The middle of a knob. */
const middle = async (knob) => {
  const box = await knob.locator(".normal-hit").boundingBox();
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
};

test("by mouse: the output follows the hand, and letting go is one step", async () => {
  const { visitor, driver, aim, knob } = await atThePanel();
  await says(knob, "180°, S, tilted 35°");
  await knob.scrollIntoViewIfNeeded();
  const before = await gives(aim);
  const horizon = await aim.locator(".horizon").boundingBox();
  const zenith = { x: horizon.x + horizon.width / 2, y: horizon.y + horizon.height / 2 };
  const { mouse } = driver.page;
  const from = await middle(knob);
  await mouse.move(from.x, from.y);
  await mouse.down();
  await mouse.move(zenith.x - horizon.width / 4, zenith.y, { steps: 6 });
  // Not let go yet: the drawing follows, the plan keeps its aim.
  await expect(async () => assert.match(await knob.getAttribute("aria-valuetext"), /^2(69|70|71)°, W, tilted 4[456]°$/));
  await expect(async () => assert.notEqual(await gives(aim), before));
  const tilt = driver.details.getByLabel("Tilt", { exact: true });
  assert.equal(await tilt.inputValue(), "35");
  assert.equal(await driver.button("Undo").isEnabled(), false);
  const dragged = await knob.getAttribute("aria-valuetext");
  await mouse.up();
  await expect(async () => assert.match(await tilt.inputValue(), /^4[456]$/));
  assert.match(await driver.details.getByLabel("Faces", { exact: true }).inputValue(), /^2(69|70|71)$/);
  await says(knob, dragged);
  // The run is of the new aim: the figures below say the energy that the aim was said to give.
  const told = energy(await gives(aim));
  await expect(async () => assert.equal(energy(await driver.details.locator(".figures dd").first().textContent()), told));
  assert.equal(await driver.undoAll(), 1);
  await says(knob, "180°, S, tilted 35°");
  assert.equal(await gives(aim), before);
  await visitor.leave();
});

test("Escape while it is dragged leaves the panel as it was", async () => {
  const { visitor, driver, aim, knob } = await atThePanel();
  await knob.scrollIntoViewIfNeeded();
  const horizon = await aim.locator(".horizon").boundingBox();
  const from = await middle(knob);
  await driver.page.mouse.move(from.x, from.y);
  await driver.page.mouse.down();
  await driver.page.mouse.move(horizon.x + horizon.width - 20, from.y, { steps: 4 });
  await expect(async () => assert.notEqual(await knob.getAttribute("aria-valuetext"), "180°, S, tilted 35°"));
  await driver.page.keyboard.press("Escape");
  await says(knob, "180°, S, tilted 35°");
  await driver.page.mouse.up();
  await says(knob, "180°, S, tilted 35°");
  assert.equal(await driver.button("Undo").isEnabled(), false);
  await visitor.leave();
});

test("by keyboard: arrows turn and tilt, one step for each key that is let go", async () => {
  const { visitor, driver, aim, knob } = await atThePanel();
  const { keyboard } = driver.page;
  await knob.focus();
  await keyboard.press("ArrowRight");
  await says(knob, "181°, S, tilted 35°");
  await keyboard.press("ArrowUp");
  await says(knob, "181°, S, tilted 36°");
  await keyboard.press("Shift+ArrowLeft");
  await says(knob, "171°, S, tilted 36°");
  await keyboard.press("PageDown");
  await says(knob, "171°, S, tilted 26°");
  assert.equal(await driver.details.getByLabel("Faces", { exact: true }).inputValue(), "171");
  assert.equal(await driver.undoAll(), 4);
  // A key that is held is one gesture.
  await knob.focus();
  const before = await gives(aim);
  for (let n = 0; n < 5; n += 1) await keyboard.down("ArrowRight");
  await says(knob, "185°, S, tilted 35°");
  assert.notEqual(await gives(aim), before);
  await keyboard.up("ArrowRight");
  assert.equal(await driver.undoAll(), 1);
  await visitor.leave();
});

test("the best aims say what they give, and give it", async () => {
  const { visitor, driver, aim, knob } = await atThePanel();
  const most = aim.getByRole("button", { name: /^Most energy/ });
  await expect(async () => assert.match(await most.textContent(), /\d+°, tilted \d+°.*u·h a day/));
  const promised = energy(await most.textContent());
  const before = energy(await gives(aim));
  assert.ok(promised > before);
  await most.click();
  await expect(async () => assert.equal(energy(await gives(aim)), promised));
  await expect(async () => assert.match(await most.textContent(), /as it is/));
  // What sets the minute of the dusk lamp: the panel's last step.
  const early = aim.getByRole("button", { name: /^Earliest last step/ });
  const [, until] = (await early.textContent()).match(/gives until (\d\d:\d\d)/);
  await early.click();
  const events = driver.log.getByRole("region", { name: "Events" });
  await events.getByLabel("Events of").selectOption({ label: "Dusk lamp" });
  await expect(async () => assert.match(await events.locator(".event").last().textContent(), new RegExp(`${until}.*starts`)));
  assert.equal(await driver.undoAll(), 2);
  await says(knob, "180°, S, tilted 35°");
  await visitor.leave();
});

test("the table has the output of every direction and tilt", async () => {
  const { visitor, aim } = await atThePanel();
  await aim.getByText("Output by direction and tilt").click();
  const cells = aim.locator("tbody td");
  await expect(async () => {
    const said = await cells.allTextContents();
    assert.equal(said.length, 16 * 7);
    assert.ok(said.every((text) => /^\d+(\.\d)?$/.test(text)), said.join(" "));
  });
  // South at 60° is row S, column 60°; of the table it is the most, and no more than the best aim.
  const south = aim.locator("tbody tr", { has: aim.page().getByRole("rowheader", { name: "S", exact: true }) });
  const most = await south.locator("td").nth(4).textContent();
  assert.deepEqual(await aim.locator("td.most").allTextContents(), [most]);
  const best = energy(await aim.getByRole("button", { name: /^Most energy/ }).textContent());
  assert.ok(Number(most) <= best + 0.5 && Number(most) > best * 0.98, `${most} of ${best}`);
  await assertAccessible(aim.page());
  await visitor.leave();
});

test("the dome is SVG through and through, also on a narrow screen in the dark", async () => {
  const visitor = await station.visitor({ size: { width: 390, height: 844 }, touch: true, theme: "dark" });
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.card("Roof panel").locator("rect.ground").tap();
  await driver.page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Details" }).tap();
  const knob = driver.details.getByRole("slider", { name: "Aim" });
  await knob.scrollIntoViewIfNeeded();
  const strays = await driver.page.evaluate(() => [...document.querySelectorAll("svg *")]
    .filter((e) => e.namespaceURI !== "http://www.w3.org/2000/svg").map((e) => e.outerHTML.slice(0, 80)));
  assert.deepEqual(strays, []);
  // A tap on the dome, without dragging, puts the normal there.
  const horizon = await driver.details.locator(".dome .horizon").boundingBox();
  await driver.page.touchscreen.tap(horizon.x + horizon.width * 0.75, horizon.y + horizon.height / 2);
  await expect(async () => assert.match(await knob.getAttribute("aria-valuetext"), /^(89|90|91)°, E, tilted 4[456]°$/));
  await assertAccessible(driver.page);
  await visitor.leave();
});

test("the world's picture follows an edit", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.details.getByText("World", { exact: true }).click();
  const picture = driver.details.locator(".world-day");
  const caption = picture.locator("figcaption");
  await expect(async () => assert.match(await caption.textContent(), /^The sun is up from \d\d:\d\d to \d\d:\d\d and stands [\d.]+° high in between\.$/));
  const [said, drawn] = [await caption.textContent(), await picture.locator("path.sun").getAttribute("d")];
  const enter = async (label, text) => {
    const field = driver.details.getByLabel(label, { exact: true });
    await field.fill(text);
    await field.press("Enter");
  };
  await enter("Latitude", "80");
  await enter("Day of the year", "355");
  await expect(async () => assert.equal(await caption.textContent(), "The sun does not rise."));
  assert.notEqual(await picture.locator("path.sun").getAttribute("d"), drawn);
  await enter("Wind by hour", "0.4");
  await expect(async () => assert.equal((await picture.locator("path.wind").getAttribute("d")).match(/M/g).length, 24));
  await enter("Weather by day", "1 0.5 0.25");
  await picture.getByRole("img", { name: "Weather of the days: day 1: 1, day 2: 0.5, day 3: 0.25" }).waitFor();
  await assertAccessible(driver.page);
  assert.equal(await driver.undoAll(), 4);
  await expect(async () => assert.equal(await caption.textContent(), said));
  await visitor.leave();
});
