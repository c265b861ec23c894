// The log's pages of losses and of logic: what breaks, on the board and back, pairs, results kept while one edits, the
// table of every combination.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";
import { base } from "../bench/base.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

async function opened(example, page) {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  await driver.openLogPage(page);
  return { visitor, driver };
}

const banner = (driver) => driver.page.locator(".trial");
const chosen = (driver) => driver.log.locator('.proof-choose[aria-pressed="true"]');

test("a summary to quote, and a loss is seen on the board and taken back", async () => {
  const { visitor, driver } = await opened("Kittiwake Light", "Losses");
  const says = driver.log.getByText(/^Survives \d+ of \d+ single losses\.$/);
  await says.waitFor();
  const [, survived, tried] = (await says.textContent()).match(/(\d+) of (\d+)/).map(Number);
  const rows = driver.log.locator(".losses tbody tr");
  assert.equal(await rows.count(), tried - survived);
  await assertAccessible(driver.page);

  await driver.card("Dusk lamp").waitFor();
  const label = (name) => driver.card(name).getAttribute("aria-label");
  assert.doesNotMatch(await label("Battery shelf"), /gone/);
  await driver.log.getByRole("button", { name: "Battery shelf", exact: true }).click();
  await expect(async () => assert.match(await banner(driver).textContent(), /Without Battery shelf/));
  await expect(async () => assert.match(await label("Battery shelf"), /gone in what is tried/));
  assert.equal(await chosen(driver).textContent(), "Battery shelf");
  // The day chart goes with it: nothing runs behind the battery, day or night.
  await driver.setTime("Midnight");
  await driver.card("Stair lamp, Lamp: off").waitFor();
  await banner(driver).getByRole("button", { name: "Back to the plan" }).click();
  await expect(async () => assert.equal(await banner(driver).count(), 0));
  assert.doesNotMatch(await label("Battery shelf"), /gone/);
  assert.equal(await chosen(driver).count(), 0);
  await driver.card("Stair lamp, Lamp: runs").waitFor();

  // A switch thrown is another setting; choosing the loss again leads back too.
  const thrown = driver.log.getByRole("button", { name: "Causeway switch, thrown", exact: true });
  await thrown.click();
  await expect(async () => assert.match(await label("Causeway switch"), /changed in what is tried/));
  await thrown.click();
  await expect(async () => assert.equal(await banner(driver).count(), 0));
  await visitor.leave();
});

test("what was found stays while one edits, until there is newer", async () => {
  const { visitor, driver } = await opened("Dusk lamp", "Losses");
  await driver.log.getByText("Survives 0 of 12 single losses.").waitFor();
  await driver.choose("Dusk relay");
  await driver.set("Contact", "make");
  // A small plan's losses are tried anew by themselves.
  await expect(async () => {
    const said = await driver.log.locator(".proof-says").textContent();
    assert.match(said, /^Survives \d+ of 12 single losses/);
    assert.notEqual(said, "Survives 0 of 12 single losses.");
  });
  assert.equal(await driver.log.locator(".as-of").count(), 0);
  await visitor.leave();
});

test("losses of a plan that breaks a duty as it is say what each would change", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  // A lamp that must always run, on two time switches that leave it dark from 20:00 on.
  const part = (id, type, set) => ({ id, type, name: id, ...(set && { set }) });
  const wire = (at, [from, to]) => ({ id: `w${at + 1}`, from, to });
  await driver.openFile({
    format: "duskline/plan", version: 1, book: "outpost",
    parts: [
      part("Generator", "generator"), part("Divider", "divider-2"), part("Early", "time-switch", { from: "00:00", to: "08:00" }),
      part("Late", "time-switch", { from: "08:00", to: "20:00" }), part("Busbar", "busbar-2"), part("Lamp", "lamp"), part("Spare", "meter"),
    ],
    wires: [
      ["Generator.out", "Divider.in"], ["Divider.out1", "Early.feed"], ["Divider.out2", "Late.feed"],
      ["Early.out", "Busbar.in1"], ["Late.out", "Busbar.in2"], ["Busbar.out", "Lamp.in"],
    ].map((ends, at) => wire(at, ends)),
    duties: [{ part: "Lamp", when: "always" }],
  });
  await driver.openLogPage("Losses");
  const changed = driver.log.getByRole("table", { name: "What losses change about duties that are broken anyway" });
  await changed.waitFor();
  const row = async (name) => {
    const found = changed.locator("tbody tr", { has: driver.page.getByRole("button", { name, exact: true }) });
    return found.locator("td").allTextContents();
  };
  await expect(async () => {
    assert.deepEqual(await row("Early"), ["Lamp, always", "12.0 h", "4.0 h", "further gaps, the first on day 1 00:00"]);
    assert.deepEqual(await row("Late"), ["Lamp, always", "16.0 h", "4.0 h", "longer gaps"]);
  });
  await driver.log.getByText(/Of the duties that are broken anyway, 12 of 13 losses make one worse/).waitFor();
  await driver.log.getByText("1 loss changes nothing").waitFor();
  assert.equal(await driver.log.getByText(/breaks? nothing/).count(), 0);
  await assertAccessible(driver.page);
  await visitor.leave();
});

test("batteries found empty and pairs of losses on request", async () => {
  const { visitor, driver } = await opened("Kittiwake Light", "Losses");
  const says = driver.log.getByText(/^Survives \d+ of \d+ single losses\.$/);
  await says.waitFor();
  const tried = async () => Number((await says.textContent()).match(/of (\d+)/)[1]);
  const before = await tried();
  await driver.log.getByLabel("Batteries found empty, too").check();
  await expect(async () => assert.equal(await tried(), before + 1));
  await driver.log.getByRole("button", { name: "Battery shelf, found empty", exact: true }).waitFor();
  await driver.log.getByRole("button", { name: "Try pairs of losses" }).click();
  const pairs = driver.log.locator(".pairs tbody tr");
  await pairs.first().waitFor();
  await expect(async () => assert.equal(await driver.log.getByRole("progressbar").count(), 0));
  const pair = await pairs.first().getByRole("button").textContent();
  await pairs.first().getByRole("button").click();
  await expect(async () => {
    const said = await banner(driver).textContent();
    for (const one of pair.split(" and ").map((name) => name.replace(/^Wire/, "the wire"))) assert.ok(said.includes(one), `${said}: ${one}`);
  });
  await visitor.leave();
});

test("a long search shows how far it is and can be stopped; what was found stays", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const chooser = driver.page.waitForEvent("filechooser");
  await driver.button("File").click();
  await driver.button("Open a file…").click();
  await (await chooser).setFiles({ name: "base.json", mimeType: "application/json", buffer: Buffer.from(base(56)) });
  await driver.hasCounts(56, 62);
  await driver.openLogPage("Losses");
  await driver.log.getByText(/^Survives \d+ of 118 single losses\.$/).waitFor({ timeout: 60_000 });
  await driver.log.getByRole("button", { name: "Try pairs of losses" }).click();
  const progress = driver.log.getByRole("progressbar", { name: "Trying pairs" });
  await driver.log.getByText(/^[1-9]\d* of \d+ pairs$/).waitFor({ timeout: 60_000 });
  await driver.log.getByRole("button", { name: "Stop" }).click();
  await expect(async () => assert.equal(await progress.count(), 0));
  await driver.log.getByText(/^Survives \d+ of 118 single losses\.$/).waitFor();
  await driver.log.getByRole("button", { name: "Try pairs of losses" }).waitFor();
  await visitor.leave();
});

test("a plan without duties says why there is nothing to tell", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.5, 0.5]);
  await driver.openLogPage("Losses");
  await driver.log.getByText(/No load has a duty yet/).waitFor();
  await visitor.leave();
});

test("the table of every combination, of the moment shown, and what comes of changing inputs in turn", async () => {
  const { visitor, driver } = await opened("Kittiwake Light", "Logic");
  await driver.log.getByText(/settled states; /).waitFor();
  await driver.log.getByText(/^What Fog siren does depends on what was before: the same inputs leave it running after Siren button true, then/).waitFor();
  const table = driver.log.locator("table.truth");
  const heads = await table.locator("thead tr").nth(1).locator("th").allTextContents();
  const column = (name) => heads.findIndex((head) => head.startsWith(name));
  const rows = table.locator("tbody tr");
  const many = await rows.count();
  await table.getByLabel("Home contact is").selectOption("true");
  await expect(async () => assert.equal(await rows.count(), many / 2));
  const cells = await rows.evaluateAll((all) => all.map((row) => [...row.children].slice(1).map((cell) => cell.textContent)));
  for (const row of cells) {
    assert.equal(row[column("Home contact")], "true");
    assert.equal(row[column("Desalination pump")], row[column("Pump hours")] === "true" ? "runs" : "–");
  }
  await assertAccessible(driver.page);

  // Another moment is worked out on request: by night the dusk lamp runs whatever the inputs.
  await driver.setTime("Midnight");
  await driver.log.getByRole("button", { name: "Work out for the moment shown" }).click();
  await driver.log.getByText(/^What contacts do, day 1 00:00/).waitFor();
  await expect(async () => {
    const lamp = await rows.locator(`:nth-child(${column("Dusk lamp") + 2})`).allTextContents();
    assert.ok(lamp.length > 0 && lamp.every((cell) => cell === "runs"), lamp.join());
  });
  await visitor.leave();
});
