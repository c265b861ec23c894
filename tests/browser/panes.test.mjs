// The page's panes: sides that fold, the log's heights and what scrolls in it, the worst that is wrong, forms on a grid,
// and a board that goes on showing the whole plan.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function opened(example, settings) {
  const visitor = await station.visitor(settings);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  return { visitor, driver };
}

const height = async (locator) => (await locator.boundingBox()).height;
const tab = (driver, name) => driver.log.getByRole("tab", { name });

/** Whether every card lies in the window onto the board. */
async function showsAll(driver) {
  const paper = await driver.paper.boundingBox();
  const cards = await driver.paper.locator("g.card rect.ground").evaluateAll((all) => all.map((card) => {
    const { left, right, top, bottom } = card.getBoundingClientRect();
    return { left, right, top, bottom };
  }));
  return cards.every((c) => c.left >= paper.x && c.right <= paper.x + paper.width && c.top >= paper.y && c.bottom <= paper.y + paper.height);
}

test("shelf and details fold by button and by key, and stay folded", async () => {
  const { visitor, driver } = await opened("Kittiwake Light");
  const { page } = driver;
  const wide = (await driver.paper.boundingBox()).width;
  const fold = (name) => page.locator(".bar").getByRole("button", { name, exact: true });
  await fold("Shelf").click();
  await driver.shelf.waitFor({ state: "hidden" });
  assert.equal(await fold("Shelf").getAttribute("aria-expanded"), "false");
  await driver.paper.focus();
  await page.keyboard.press("]");
  await driver.details.waitFor({ state: "hidden" });
  await expect(async () => assert.ok((await driver.paper.boundingBox()).width > wide + 400));
  await expect(async () => assert.ok(await showsAll(driver), "the whole plan is still shown"));
  await assertAccessible(page);
  await page.reload();
  await visitor.started(page);
  assert.ok(await driver.shelf.isHidden() && await driver.details.isHidden());
  await page.getByLabel("Title of the plan").fill("a [b] c");
  await driver.paper.focus();
  await page.keyboard.press("[");
  await page.keyboard.press("]");
  assert.ok(await driver.shelf.isVisible() && await driver.details.isVisible(), "keys in a field fold nothing");
  await visitor.leave();
});

test("the board shows the whole plan after every change of its size, until somebody looks elsewhere", async () => {
  const { visitor, driver } = await opened("Kittiwake Light");
  const { page } = driver;
  for (const size of [{ width: 1100, height: 700 }, { width: 1920, height: 1080 }, { width: 390, height: 844 }]) {
    await page.setViewportSize(size);
    await expect(async () => assert.ok(await showsAll(driver), `${size.width} wide`));
  }
  await page.setViewportSize({ width: 1440, height: 900 });
  await expect(async () => assert.ok(await showsAll(driver)));
  await page.getByRole("button", { name: "Larger" }).click();
  const scale = await driver.scale();
  await page.setViewportSize({ width: 1200, height: 800 });
  await expect(async () => assert.equal(await driver.scale(), scale));
  await visitor.leave();
});

test("each page of the log has its own height and its own place, and heights are kept", async () => {
  const { visitor, driver } = await opened("Kittiwake Light");
  const { page, log } = driver;
  const grip = log.getByRole("separator", { name: "Height of the log" });
  const first = await height(log);
  await grip.focus();
  for (let n = 0; n < 4; n += 1) await page.keyboard.press("ArrowDown");
  const low = await height(log);
  assert.ok(low < first - 80, `${low} of ${first}`);
  await log.locator(".chart").evaluate((chart) => { chart.scrollTop = 90; });
  await tab(driver, "Sizes").click();
  await expect(async () => assert.equal(await height(log), first));
  await tab(driver, "Day").click();
  await expect(async () => assert.equal(await height(log), low));
  await expect(async () => assert.equal(await log.locator(".chart").evaluate((chart) => chart.scrollTop), 90));
  await page.reload();
  await visitor.started(page);
  await expect(async () => assert.equal(await height(log), low));
  await visitor.leave();
});

test("hours and sky stay while lanes scroll, and loads with duties come first", async () => {
  const { visitor, driver } = await opened("Kittiwake Light");
  const { log } = driver;
  const rows = async () => {
    const [axis, sky] = [log.locator(".axis-row"), log.locator(".sky-row")];
    return [(await axis.boundingBox()).y, (await sky.boundingBox()).y];
  };
  assert.match(await log.locator(".lane-heading").first().textContent(), /^Loads with duties/);
  const before = await rows();
  const moved = await log.locator(".chart").evaluate((chart) => { chart.scrollTop = 150; return chart.scrollTop; });
  assert.equal(moved, 150);
  assert.deepEqual(await rows(), before);
  await visitor.leave();
});

test("the worst that is wrong is told in the bar and leads to its part; a healthy plan tells none", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const worst = driver.page.locator(".worst");
  const errors = () => driver.details.locator(".problems li:is(.error, .warning)").count();
  assert.equal(await errors(), 0);
  assert.equal(await worst.count(), 0);
  await driver.choose("Shelf battery");
  await driver.page.keyboard.press("Delete");
  await worst.waitFor();
  assert.ok(await errors() > 0);
  const says = await worst.locator(".says").textContent();
  assert.equal(await driver.details.locator(".problem").first().textContent().then((t) => t.endsWith(says)), true);
  await driver.page.keyboard.press("Escape");
  await worst.click();
  await driver.paper.locator("g.card.chosen, g.wire-group .halo").first().waitFor();
  assert.ok(await driver.paper.locator("g.card.wrong").count() > 0, "the card is marked");
  await assertAccessible(driver.page);
  await visitor.leave();
});

test("fields of the forms on Sizes and Compare are of one width and stand in columns", async () => {
  const { visitor, driver } = await opened("Kittiwake Light");
  for (const name of ["Sizes", "Compare"]) {
    await tab(driver, name).click();
    const fields = driver.log.locator(".fields :is(select, input[type=text], button):visible");
    await fields.first().waitFor();
    const boxes = await fields.evaluateAll((all) => all.map((f) => f.getBoundingClientRect()).map(({ x, width }) => [Math.round(x), Math.round(width)]));
    assert.ok(boxes.length >= 2, `${boxes}`);
    assert.equal(new Set(boxes.map(([, width]) => width)).size, 1, `${name}: ${boxes}`);
    const pitch = boxes[0][1] + 16;
    for (const [x] of boxes) assert.ok((x - boxes[0][0]) % pitch < 2, `${name}: ${boxes}`);
  }
  await visitor.leave();
});

test("tidy is worked out beside the page and is one step", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const { page } = driver;
  const places = () => driver.paper.locator("g.card rect.ground").evaluateAll((all) => all.map((r) => [r.x.baseVal.value, r.y.baseVal.value]));
  const tidy = await places();
  await driver.choose("Shelf battery");
  await page.keyboard.press("Shift+ArrowDown");
  await expect(async () => assert.notDeepEqual(await places(), tidy));
  await page.keyboard.press("Escape");
  await page.keyboard.press("t");
  await expect(async () => assert.deepEqual(await places(), tidy));
  await page.keyboard.press("Control+z");
  await expect(async () => assert.notDeepEqual(await places(), tidy));
  await visitor.leave();
});

test("a port's name lies over numbers of wires, not under them", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  const over = await driver.paper.evaluate((paper) => {
    const [labels, parts] = [paper.querySelector(".labels"), paper.querySelector(".parts")];
    return Boolean(labels.compareDocumentPosition(parts) & Node.DOCUMENT_POSITION_FOLLOWING);
  });
  assert.ok(over);
  await visitor.leave();
});
