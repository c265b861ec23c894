// Long work beside the page: what a small plan's pages tell is fresh by itself, a moved card makes nothing old, another
// plan has answers of its own, and a page that cannot fetch the program for it goes on.

import { readFile, readdir, rename } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";
import { base } from "../bench/base.mjs";

const LAMP = new URL("../../assets/examples/dusk-lamp.json", import.meta.url);

let station;
before(async () => { station = await Station.start({ copy: true }); });
after(() => station?.stop());

async function opened(example, page) {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  if (page) await turn(driver, page);
  return { visitor, driver };
}

const turn = (driver, page) => driver.openLogPage(page);
const says = (driver) => driver.log.locator(".proof-says").textContent();
const verdict = (driver) => driver.page.locator(".verdict span").first();

async function openFile(driver, name, text) {
  const chooser = driver.page.waitForEvent("filechooser");
  await driver.button("File").click();
  await driver.button("Open a file…").click();
  await (await chooser).setFiles({ name, mimeType: "application/json", buffer: Buffer.from(text) });
}

test("findings and losses are there before their pages are opened, and follow every edit without a button", async () => {
  const { visitor, driver } = await opened("Dusk lamp");
  await expect(async () => assert.equal(await verdict(driver).textContent(), "All 2 duties kept, for ever"));
  await turn(driver, "Losses");
  await driver.log.getByText("Survives 0 of 12 single losses.").waitFor();
  await driver.choose("Dusk relay");
  await driver.set("Contact", "make");
  await expect(async () => assert.notEqual(await says(driver), "Survives 0 of 12 single losses."));
  await turn(driver, "Findings");
  await driver.log.locator('[data-kind="duty-broken"]').waitFor();
  await driver.button("Undo").click();
  await driver.log.locator('[data-kind="duty-broken"]').waitFor({ state: "detached" });
  await turn(driver, "Losses");
  await driver.log.getByText("Survives 0 of 12 single losses.").waitFor();
  await visitor.leave();
});

test("a card that is moved makes no answer old", async () => {
  const { visitor, driver } = await opened("Kittiwake Light", "Losses");
  await driver.log.getByText(/^Survives \d+ of \d+ single losses\.$/).waitFor();
  await turn(driver, "Logic");
  await driver.log.getByText(/settled states; /).waitFor();
  await driver.page.evaluate(() => {
    window.old = 0;
    const note = () => { window.old += document.querySelectorAll(".as-of, .old").length; };
    new MutationObserver(note).observe(document.body, { subtree: true, childList: true, attributes: true });
  });
  for (const page of ["Logic", "Losses", "Findings", "Duties"]) {
    await turn(driver, page);
    await driver.card("Stair lamp").focus();
    await driver.page.keyboard.press("ArrowUp");
    await driver.page.waitForTimeout(200);
  }
  assert.equal(await driver.page.evaluate(() => window.old), 0);
  await visitor.leave();
});

for (const [page, seen] of [
  ["Findings", (driver) => driver.log.locator("li.finding").first()],
  ["Losses", (driver) => driver.log.getByText(/^Survives 0 of 12 single losses\.$/)],
  ["Logic", (driver) => driver.log.locator("table.truth tbody tr").first()],
]) {
  test(`another plan is opened while ${page} is open: its own results are there`, async () => {
    const { visitor, driver } = await opened("Kittiwake Light", page);
    await driver.log.locator("li.finding, .losses tbody tr, table.truth tbody tr").first().waitFor();
    await openFile(driver, "dusk-lamp.json", await readFile(LAMP, "utf8"));
    await seen(driver).waitFor();
    assert.equal(await driver.log.locator(".as-of").count(), 0);
    assert.equal(await driver.log.getByText("Causeway switch").count(), 0);
    await visitor.leave();
  });
}

test("a large plan is asked about on request, and says when that is of an earlier plan", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await openFile(driver, "base.json", base(208));
  await driver.paper.locator("g.card").first().waitFor();
  await turn(driver, "Losses");
  await driver.log.getByText(/^Survives \d+ of \d+ single losses/).waitFor({ timeout: 60_000 });
  await driver.paper.locator("g.card").first().focus();
  await driver.page.keyboard.press("Delete");
  await driver.log.getByText("As of the plan before your last edits.").waitFor();
  await driver.page.waitForTimeout(500);
  assert.equal(await driver.log.locator(".as-of").count(), 1);
  await driver.log.getByRole("button", { name: "Try every loss again" }).click();
  await expect(async () => assert.equal(await driver.log.locator(".as-of").count(), 0));

  // That something was stopped is not said of a plan that it was not asked about.
  await driver.log.getByText(/^Survives \d+ of \d+ single losses/).waitFor({ timeout: 60_000 });
  // By the page itself: all may be tried before a pointer is there.
  await driver.page.evaluate(async () => {
    const button = (says) => [...document.querySelectorAll(".proof-head button")].find((b) => b.textContent === says);
    button("Try every loss again").click();
    while (!button("Stop")) await new Promise(requestAnimationFrame);
    button("Stop").click();
  });
  const stopped = driver.log.getByText("Stopped. There may be more to find.").first();
  await stopped.waitFor();
  await driver.paper.locator("g.card").first().focus();
  await driver.page.keyboard.press("Delete");
  await stopped.waitFor({ state: "detached" });
  await visitor.leave();
});

test("where the program for long work cannot be fetched, the page says so and goes on, and tries again", async () => {
  const wasm = (await readdir(station.folder)).find((name) => /^duskline-worker.*\.wasm$/.test(name));
  const [there, away] = [join(station.folder, wasm), join(station.folder, "away")];
  await rename(there, away);
  const { visitor, driver } = await opened("Dusk lamp", "Duties");
  await driver.log.getByText(/^Not worked out: the program for it could not be fetched \(the server answers 404\)\./).first().waitFor();
  await driver.card("Dusk lamp, Lamp").waitFor();
  await rename(away, there);
  await driver.log.getByRole("button", { name: "Check again" }).click();
  await expect(async () => assert.equal(await verdict(driver).textContent(), "All 2 duties kept, for ever"));
  await visitor.leave();
});

test("the page itself does not fetch what answers beside it, and does so once it is needed", async () => {
  const visitor = await station.visitor();
  const fetched = [];
  visitor.context.on("request", (request) => fetched.push(request.url()));
  const page = await visitor.open();
  await page.waitForLoadState("networkidle");
  assert.deepEqual(fetched.filter((url) => url.includes("worker")), []);
  const driver = new PageDriver(page);
  await driver.openExample("Dusk lamp");
  await expect(async () => assert.ok(fetched.some((url) => /duskline-worker[^/]*\.wasm$/.test(url))));
  await visitor.leave();
});

for (const page of ["Findings", "Losses", "Logic"]) {
  test(`with ${page} open another plan is asked about when it is opened`, async () => {
    const visitor = await station.visitor();
    const driver = new PageDriver(await visitor.open());
    await driver.openExample("Dusk lamp");
    await driver.openLogPage(page);
    const result = driver.log.locator("li.finding, .findings-line, table, .loss-summary");
    await result.first().waitFor();
    await driver.log.locator(".under-way progress").waitFor({ state: "detached" });
    await driver.newPlan();
    await driver.openExample("First light");
    await result.first().waitFor();
    await driver.newPlan();
    await driver.openKept("Dusk lamp");
    await result.first().waitFor();
    await visitor.leave();
  });
}
