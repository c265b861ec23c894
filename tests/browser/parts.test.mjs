// The page's program comes in two parts: the board works with the first; what the second shows comes when that is there.

import assert from "node:assert/strict";
import { readdir, rename } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { PageDriver } from "./page-driver.mjs";
import { Station, expect } from "./harness.mjs";

const SECOND = /\/split_later\.wasm$/;

let station;
before(async () => { station = await Station.start({ copy: true }); });
after(() => station?.stop());

/** A visitor's page with the first part alone; `come` lets the second through. */
async function firstPart() {
  const visitor = await station.visitor();
  const held = [];
  await visitor.context.route(SECOND, (route) => { held.push(route); });
  const page = await visitor.open("", { whole: false });
  await expect(async () => assert.equal(held.length, 1));
  return { visitor, page, driver: new PageDriver(page), come: () => held[0].continue() };
}

/** A panel that feeds a lamp, by mouse, by day and by night: what the board does without the second part. */
async function worksTheBoard(driver) {
  await driver.placePart("Sun panel", [0.2, 0.3]);
  await driver.placePart("Lamp", [0.7, 0.3]);
  await driver.wire("Sun panel", "out", "Lamp", "in");
  await driver.setTime("Noon");
  await driver.readsOnWire("Sun panel", "out", "2 / 9");
  await driver.setTime("Midnight");
  await driver.readsOnWire("Sun panel", "out", "0 / 0");
  await driver.button("Undo").click();
  await driver.hasCounts(2, 0);
}

/** The file of the second part. */
async function second() {
  const folder = (await readdir(station.folder)).find((name) => name.startsWith("program-"));
  return join(station.folder, folder, "split_later.wasm");
}

test("the second part is asked for once the first board is there", async () => {
  const visitor = await station.visitor();
  await visitor.context.addInitScript(() => {
    const ask = window.fetch;
    window.fetch = (...what) => {
      if (/split_later/.test(what[0])) window.boardWas = document.querySelector(".paper .parts") !== null && window.started === true;
      return ask(...what);
    };
    addEventListener("duskline-started", () => { window.started = true; });
  });
  const page = await visitor.open();
  assert.equal(await page.evaluate(() => window.boardWas), true);
  await visitor.leave();
});

test("the board works before the second part is there, and the places for that say that it comes", async () => {
  const { visitor, page, driver, come } = await firstPart();
  await worksTheBoard(driver);
  assert.equal(await driver.details.locator(".pane-details").textContent(), "Coming…");
  assert.equal(await page.locator("#log-page").textContent(), "Coming…");
  assert.equal(await page.locator(".verdict-line").textContent(), "Checking duties…");

  // What is opened before is there when it comes, and what was asked for is done.
  await page.getByRole("tab", { name: "Duties" }).click();
  await driver.button("Plans…").click();
  await driver.dialog.getByText("Coming…").waitFor();
  await page.keyboard.press("Escape");
  await driver.button("Tidy").click();
  await page.locator(".notice").getByText("on its way").waitFor();
  await driver.button("Copy link").click();
  await page.locator(".notice").getByText("on its way").waitFor();
  await driver.card("Lamp").click();
  await come();
  await driver.details.getByRole("heading", { name: "Lamp" }).first().waitFor();
  await page.locator(".duties-page").waitFor();
  await expect(async () => assert.match(await page.evaluate(() => navigator.clipboard.readText()), /^http.*#/));
  await page.locator("button[title='Undo: tidy the plan']").waitFor();
  await visitor.leave();
});

test("where the second part can't be fetched the page says so, the board works, and it can be tried again", async (t) => {
  const file = await second();
  await rename(file, `${file}.away`);
  t.after(() => rename(`${file}.away`, file).catch(() => {}));
  const visitor = await station.visitor();
  const page = await visitor.open("", { whole: false });
  const driver = new PageDriver(page);
  const says = page.locator(".standing").getByText(/^A part of the page could not be fetched/);
  await says.waitFor();
  await driver.details.getByText("This part of the page could not be fetched.").waitFor();
  await page.locator("#log-page").getByText("This part of the page could not be fetched.").waitFor();
  await worksTheBoard(driver);

  // A button that needs it asks for it once, and says what comes of that.
  const asked = [];
  page.on("request", (request) => SECOND.test(request.url()) && asked.push(request.url()));
  await driver.button("Tidy").click();
  await page.locator(".notice").getByText("Not done: a part of the page for it could not be fetched.").waitFor();
  await says.waitFor();
  await page.locator(".standing").getByRole("button", { name: "Try again" }).click();
  await expect(async () => assert.equal(asked.length, 2));
  await says.waitFor();
  await rename(`${file}.away`, file);
  await page.locator("#log-page").getByRole("button", { name: "Try again" }).click();
  await page.locator(".frame.whole").waitFor();
  assert.equal(await says.count(), 0);
  await page.locator("#log-page .chart").first().waitFor();
  visitor.expectFaults(/404|server answers/);
  await visitor.leave();
});

test("a server that gives the second part another type does no harm", async () => {
  const visitor = await station.visitor();
  await visitor.context.route(SECOND, async (route) => {
    const response = await route.fetch();
    await route.fulfill({ response, headers: { ...response.headers(), "content-type": "application/octet-stream" } });
  });
  await visitor.open();
  await visitor.leave();
});

test("the second part is kept for offline use with the first", async () => {
  const visitor = await station.visitor({ offline: true });
  const first = await visitor.open("", { whole: false });
  await first.evaluate(async () => { await navigator.serviceWorker.ready; await document.fonts.ready; });
  const kept = await first.evaluate(async () => {
    const [name] = await caches.keys();
    return (await (await caches.open(name)).keys()).map((request) => request.url);
  });
  assert.equal(kept.filter((url) => SECOND.test(url)).length, 1);
  await first.waitForLoadState("networkidle");
  await first.close();
  await station.cutNetwork();
  const page = await visitor.open();
  await page.locator("#log-page .chart").first().waitFor();
  visitor.faults = visitor.faults.filter((fault) => !/sw\.js|ERR_CONNECTION_REFUSED/.test(fault));
  await visitor.leave();
});
