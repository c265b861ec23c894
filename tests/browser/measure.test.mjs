// Measuring a world: readings are typed, the world that they come to stands beside them, and goes into the plan.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const RADIANS = Math.PI / 180;
/** A world as one draws it, without air; hours of the dial, degrees, steps. */
const DRAWN = { rise: 5 + 40 / 60, set: 18 + 20 / 60, azimuth: 82, highest: 58, peak: 12.6 };

/** What a panel gives in a world, in parts of a step. */
function steps(world, at, azimuth, tilt) {
  const [hours, minutes] = at.split(":").map(Number);
  const gone = (hours + minutes / 60 - world.rise) / (world.set - world.rise);
  if (gone <= 0 || gone >= 1) return 0;
  const elevation = world.highest * Math.sin(Math.PI * gone) * RADIANS;
  const sun = (world.azimuth + (360 - 2 * world.azimuth) * gone) * RADIANS;
  const [faces, tilted] = [azimuth * RADIANS, tilt * RADIANS];
  const facing = Math.cos(elevation) * Math.sin(tilted) * Math.cos(sun - faces) + Math.sin(elevation) * Math.cos(tilted);
  return Math.max(0, facing) * world.peak;
}

const EIGHT = [
  ["06:30", 90, 60], ["08:00", 90, 30], ["09:00", 180, 90], ["10:30", 135, 60],
  ["12:00", 0, 0], ["14:00", 270, 30], ["16:30", 270, 60], ["17:30", 270, 90],
];
const NINTH = ["13:00", 225, 60];

/** The window that measures a world, over an empty plan or an example. */
async function opened({ example = null, ...visit } = {}) {
  const visitor = await station.visitor(visit);
  const page = await visitor.open();
  const driver = new PageDriver(page);
  if (example) await driver.openExample(example);
  await openWindow(driver, visit);
  return { visitor, driver, page };
}

async function openWindow(driver, { touch = false } = {}) {
  const { page } = driver;
  if (touch) await page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Details" }).tap();
  const button = driver.details.getByRole("button", { name: "Measure this world…" });
  if (!(await button.isVisible())) await driver.details.getByText("World", { exact: true }).click();
  await button.click();
  await driver.dialog.getByRole("heading", { name: "Readings", exact: true }).waitFor();
}

const window = (driver) => driver.dialog;
const entry = (driver, number, name) => window(driver).getByRole("textbox", { name: new RegExp(`^Reading ${number}, .*: ${name}$`) });
const loadExample = (driver) => window(driver).getByRole("button", { name: "Load the Kittiwake Light example" }).click();

/** What is measured of a value, once it is like `pattern`. */
async function measures(driver, value, pattern = /./) {
  const row = window(driver).getByRole("row", { name: new RegExp(`^${value}`) });
  return expect(async () => {
    const said = await row.first().innerText();
    assert.match(said, pattern);
    return said;
  });
}

const hours = (text) => {
  const [h, m, s = 0] = text.match(/(\d+):(\d+)(?::(\d+))?/).slice(1).map((n) => Number(n ?? 0));
  return h + m / 60 + s / 3600;
};

test("eight readings of the sun, by keyboard alone, make a world that predicts a ninth within a step", async () => {
  const visitor = await station.visitor();
  const page = await visitor.open();
  const driver = new PageDriver(page);
  const { keyboard } = page;
  const world = driver.details.getByText("World", { exact: true });
  await world.focus();
  await keyboard.press("Enter");
  await driver.details.getByRole("button", { name: "Measure this world…" }).focus();
  await keyboard.press("Enter");
  const air = window(driver).getByLabel("Air");
  await air.focus();
  await keyboard.type("none");
  await expect(async () => assert.equal(await air.inputValue(), "none"));
  await window(driver).getByRole("button", { name: "Add a panel" }).focus();
  await keyboard.press("Enter");
  for (const [number, [at, azimuth, tilt]] of EIGHT.entries()) {
    const first = entry(driver, number + 1, "at");
    await expect(async () => assert.ok(await first.evaluate((e) => e === document.activeElement)));
    const gives = Math.floor(steps(DRAWN, at, azimuth, tilt));
    for (const text of [at, azimuth, tilt]) {
      await keyboard.type(String(text));
      await keyboard.press("Tab");
    }
    await keyboard.type(String(gives));
    await keyboard.press(number + 1 < EIGHT.length ? "Enter" : "Tab");
  }
  await window(driver).getByText("This world explains every reading.").waitFor();
  await window(driver).getByText("8 readings. They are measured as you type.").waitFor();
  const number = async (value) => Number((await measures(driver, value)).match(/[\d.]+(?=°| steps)/)[0]);
  const found = {
    rise: hours(await measures(driver, "Sun rises")), set: hours(await measures(driver, "Sun sets")),
    azimuth: await number("Rises at azimuth"), highest: await number("Highest"), peak: await number("Peak of a panel"),
  };
  const [is, says] = [steps(DRAWN, ...NINTH), steps(found, ...NINTH)];
  assert.ok(Math.abs(is - says) < 1, `${JSON.stringify(found)} gives ${says} where ${is} is`);
  await visitor.leave();
});

test("what is wrong is said at its cell, and a row that is not full does not count yet", async () => {
  const { visitor, driver } = await opened();
  await window(driver).getByRole("button", { name: "Add a sunrise" }).click();
  await entry(driver, 1, "at").fill("25:00");
  await entry(driver, 1, "over").click();
  await window(driver).getByText("At: Found “25:00”, expected a time of the dial from 00:00 to 24:00").waitFor();
  const at = entry(driver, 1, "at");
  assert.equal(await at.getAttribute("aria-invalid"), "true");
  const described = await at.getAttribute("aria-describedby");
  assert.match(await driver.page.locator(`[id="${described}"]`).innerText(), /Found “25:00”/);
  await at.fill("5:40");
  await at.press("Tab");
  await measures(driver, "Sun rises", /05:40\s.*between 05:39 and 05:41/s);
  assert.equal(await at.getAttribute("aria-invalid"), null);
  await window(driver).getByRole("button", { name: "Add a battery that falls" }).click();
  await entry(driver, 2, "from").fill("1/2");
  await entry(driver, 2, "to").fill("1/3");
  await entry(driver, 2, "in").fill("2 h");
  await entry(driver, 2, "in").press("Tab");
  await window(driver).getByText("Not counted yet: Drawing is empty.").waitFor();
  await entry(driver, 2, "drawing").fill("4");
  await entry(driver, 2, "drawing").press("Tab");
  await measures(driver, "Battery holds", /step·h/);
  await measures(driver, "Sun sets", /not settled by the readings/);
  await visitor.leave();
});

test("a reading that contradicts is marked, and what is left is measured", async () => {
  const { visitor, driver } = await opened();
  await loadExample(driver);
  await window(driver).getByText("This world explains every reading.").waitFor();
  await entry(driver, 13, "shows").fill("2");
  await entry(driver, 13, "shows").press("Tab");
  await window(driver).getByText("Reading 13 contradicts the others: without it they agree. It is left out.").waitFor();
  assert.equal(await window(driver).getByText("Contradicts the others.").count(), 1);
  const strip = window(driver).getByRole("row", { name: /^13 panel facing 270° at tilt 90° at 17:30/ });
  assert.match(await strip.innerText(), /off by −[\d.]+ steps; contradicts/);
  assert.match(await strip.getByRole("img").getAttribute("aria-label"), /^Read 2, the world gives 12[\d.]*: off by −/);
  await entry(driver, 13, "shows").fill("12");
  await entry(driver, 13, "shows").press("Tab");
  await window(driver).getByText("This world explains every reading.").waitFor();
  assert.equal(await window(driver).getByText("Contradicts the others.").count(), 0);
  await visitor.leave();
});

test("the next reading comes into the table with one click, to be filled in", async () => {
  const { visitor, driver, page } = await opened();
  await loadExample(driver);
  const next = window(driver).getByText(/^Read next: a panel/);
  const [, azimuth, tilt, at] = (await next.innerText()).match(/facing (\d+)° at tilt (\d+)°, at (\d\d:\d\d)/);
  await window(driver).getByRole("button", { name: "Add it to the readings" }).click();
  const shows = entry(driver, 14, "shows");
  await expect(async () => assert.ok(await shows.evaluate((e) => e === document.activeElement)));
  await window(driver).getByRole("button", { name: "Add it to the readings" }).click();
  await expect(async () => assert.ok(await shows.evaluate((e) => e === document.activeElement), "it waits there once"));
  const typed = await Promise.all(["at", "faces", "tilt"].map((name) => entry(driver, 14, name).inputValue()));
  assert.deepEqual(typed, [at, azimuth, tilt]);
  await window(driver).getByText("Not counted yet: Shows is empty.").waitFor();
  await page.keyboard.type(String(Math.floor(steps({ ...DRAWN, peak: 12.51 }, at, Number(azimuth), Number(tilt)))));
  await page.keyboard.press("Tab");
  await window(driver).getByText("19 readings. They are measured as you type.").waitFor();
  await visitor.leave();
});

test("a measured world goes into the plan as one step, and readings outlast a reload", async () => {
  const { visitor, driver, page } = await opened({ example: "Dusk lamp" });
  await loadExample(driver);
  const changes = window(driver).getByRole("list", { name: "What would change" });
  await changes.getByText("Sunrise: not set → 05:40").waitFor();
  await window(driver).getByLabel("Write the peak into").selectOption({ label: "Sun panel" });
  await changes.getByText(/^Sun panel: peak: \d+ → 13$/).waitFor();
  await window(driver).getByLabel("Write what the battery holds and stores into").selectOption({ label: "Battery" });
  await changes.getByText(/^Battery: capacity: .*47.9/).waitFor();
  await window(driver).getByRole("button", { name: "Use in this plan" }).click();
  await window(driver).getByText("The plan has this world: nothing would change.").waitFor();
  await window(driver).getByRole("button", { name: "Close" }).click();
  const sunrise = driver.details.getByLabel("Sunrise", { exact: true });
  await expect(async () => assert.equal(await sunrise.inputValue(), "05:40"));
  assert.equal(await driver.details.getByLabel("Length of the day", { exact: true }).inputValue(), "2880");
  await driver.button("Undo").click();
  await expect(async () => assert.equal(await sunrise.count(), 0));
  assert.ok(await driver.button("Undo").isDisabled(), "it was one step");
  await page.reload();
  await visitor.started(page);
  await openWindow(driver);
  assert.equal(await entry(driver, 14, "at").inputValue(), "05:40");
  await window(driver).getByText("This world explains every reading.").waitFor();
  await visitor.leave();
});

test("readings go to a file and back, what was there can be put back, and a file that is none says why", async () => {
  const { visitor, driver, page } = await opened();
  await loadExample(driver);
  const coming = page.waitForEvent("download");
  await window(driver).getByRole("button", { name: "Save readings" }).click();
  const saved = JSON.parse(await readFile(await (await coming).path(), "utf8"));
  const example = new URL("../../assets/readings/kittiwake-light.json", import.meta.url);
  assert.deepEqual(saved, JSON.parse(await readFile(example, "utf8")));
  await window(driver).getByRole("button", { name: "Clear the table" }).click();
  await window(driver).getByText("No readings yet.").waitFor();
  await window(driver).getByRole("button", { name: "Put them back" }).click();
  await window(driver).getByText("18 readings.").waitFor();
  const field = window(driver).getByLabel("A readings file");
  const load = (name, value) => field.setInputFiles({ name, mimeType: "application/json", buffer: Buffer.from(JSON.stringify(value)) });
  await load("wrong.json", { ...saved, readings: [{ at: "9:00", azimuth: 90, tilt: 30 }] });
  await window(driver).getByText("readings[0].gives: found nothing, expected a whole number from 0 to 1000000.").waitFor();
  await load("two.json", { ...saved, readings: saved.readings.slice(0, 2) });
  await window(driver).getByText("2 readings. They are measured as you type.").waitFor();
  await visitor.leave();
});

test("rows that were copied in a spreadsheet go right and down", async () => {
  const { visitor, driver, page } = await opened();
  await window(driver).getByRole("button", { name: "Add a panel" }).click();
  const copied = EIGHT.map(([at, azimuth, tilt]) => [at, azimuth, tilt, Math.floor(steps(DRAWN, at, azimuth, tilt))].join("\t")).join("\r\n");
  await page.evaluate((text) => navigator.clipboard.writeText(text), copied);
  await entry(driver, 1, "at").focus();
  await page.keyboard.press("Control+v");
  await window(driver).getByText("8 readings. They are measured as you type.").waitFor();
  assert.equal(await entry(driver, 8, "at").inputValue(), "17:30");
  await visitor.leave();
});

test("many readings are measured when one asks for it, and that can be stopped", async () => {
  const { visitor, driver } = await opened();
  const readings = [];
  // Two worlds at once, which takes long: every other reading contradicts.
  for (let n = 0; n < 120; n += 1) {
    const at = `${String(6 + Math.floor(n / 12)).padStart(2, "0")}:${String((n % 12) * 5).padStart(2, "0")}`;
    const world = n % 2 ? DRAWN : { ...DRAWN, highest: 25, peak: 30 };
    readings.push({ at, azimuth: (n * 45) % 360, tilt: 30 + (n % 3) * 30, gives: Math.floor(steps(world, at, (n * 45) % 360, 30 + (n % 3) * 30)) });
  }
  const file = { format: "duskline/readings", version: 1, readings };
  await window(driver).getByLabel("A readings file")
    .setInputFiles({ name: "many.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(file)) });
  await window(driver).getByText(/^120 readings\. With more than 30/).waitFor();
  await window(driver).getByRole("button", { name: "Measure", exact: true }).click();
  await window(driver).getByText(/\d+ of 120 readings left out in turn/).waitFor();
  await window(driver).getByRole("button", { name: "Stop" }).click();
  await window(driver).getByRole("button", { name: "Measure again" }).waitFor();
  await visitor.leave();
});

for (const theme of ["light", "dark"]) {
  for (const size of [{ width: 1440, height: 900 }, { width: 390, height: 844 }]) {
    test(`accessible and no wider than the screen at ${size.width} × ${size.height} in the ${theme} theme`, async () => {
      const touch = size.width < 761;
      const { visitor, driver, page } = await opened({ size, theme, touch });
      await assertAccessible(page);
      await loadExample(driver);
      await window(driver).getByText("This world explains every reading.").waitFor();
      await entry(driver, 13, "shows").fill("2");
      await entry(driver, 13, "shows").press("Tab");
      await window(driver).getByText("Contradicts the others.").waitFor();
      await entry(driver, 1, "at").fill("x");
      await entry(driver, 1, "at").press("Tab");
      await window(driver).getByText("At: Found “x”").waitFor();
      await assertAccessible(page);
      const wide = await window(driver).evaluate((dialog) => dialog.scrollWidth - dialog.clientWidth);
      assert.ok(wide <= 1, `${wide} px lie beside the window`);
      const field = await entry(driver, 2, "shows").boundingBox();
      assert.ok(field.x + field.width <= size.width && field.width >= 36, JSON.stringify(field));
      if (touch) {
        await window(driver).getByRole("button", { name: "To the measured world" }).tap();
        const world = window(driver).getByRole("heading", { name: "The world that they come to" });
        await expect(async () => assert.ok((await world.boundingBox()).y < size.height / 2));
      }
      await visitor.leave();
    });
  }
}
