// Long work beside the page: what a small plan's pages tell is fresh by itself, a moved card makes nothing old, another
// plan has answers of its own, and a page that cannot fetch the program for it goes on.

import { readFile, readdir, rename } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";
import { base } from "../bench/base.mjs";

const LAMP = new URL("../../assets/examples/dusk-lamp.json", import.meta.url);

let station;
before(async () => { station = await Station.start({ copy: true }); });
after(() => station?.stop());

async function opened(example, page) {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.openExample(example);
  if (page) await turn(desk, page);
  return { visitor, desk };
}

const turn = (desk, page) => desk.log.getByRole("button", { name: page, exact: true }).click();
const says = (desk) => desk.log.locator(".proof-says").textContent();
const verdict = (desk) => desk.page.locator(".verdict span").first();

async function openFile(desk, name, text) {
  const chooser = desk.page.waitForEvent("filechooser");
  await desk.button("File").click();
  await desk.button("Open a file…").click();
  await (await chooser).setFiles({ name, mimeType: "application/json", buffer: Buffer.from(text) });
}

test("findings and losses are there before their pages are opened, and follow every edit without a button", async () => {
  const { visitor, desk } = await opened("Dusk lamp");
  await expect(async () => assert.equal(await verdict(desk).textContent(), "All 2 duties kept, for ever"));
  await turn(desk, "Losses");
  await desk.log.getByText("Survives 0 of 12 single losses.").waitFor();
  await desk.choose("Dusk relay");
  await desk.set("Contact", "make");
  await expect(async () => assert.notEqual(await says(desk), "Survives 0 of 12 single losses."));
  await turn(desk, "Findings");
  await desk.log.locator('[data-kind="duty-broken"]').waitFor();
  await desk.button("Undo").click();
  await desk.log.locator('[data-kind="duty-broken"]').waitFor({ state: "detached" });
  await turn(desk, "Losses");
  await desk.log.getByText("Survives 0 of 12 single losses.").waitFor();
  await visitor.leave();
});

test("a card that is moved makes no answer old", async () => {
  const { visitor, desk } = await opened("Kittiwake Light", "Losses");
  await desk.log.getByText(/^Survives \d+ of \d+ single losses\.$/).waitFor();
  await turn(desk, "Logic");
  await desk.log.getByText(/settled states; /).waitFor();
  await desk.page.evaluate(() => {
    window.old = 0;
    const note = () => { window.old += document.querySelectorAll(".as-of, .old").length; };
    new MutationObserver(note).observe(document.body, { subtree: true, childList: true, attributes: true });
  });
  for (const page of ["Logic", "Losses", "Findings", "Duties"]) {
    await turn(desk, page);
    await desk.card("Stair lamp").focus();
    await desk.page.keyboard.press("ArrowUp");
    await desk.page.waitForTimeout(200);
  }
  assert.equal(await desk.page.evaluate(() => window.old), 0);
  await visitor.leave();
});

for (const [page, seen] of [
  ["Findings", (desk) => desk.log.locator("li.finding").first()],
  ["Losses", (desk) => desk.log.getByText(/^Survives 0 of 12 single losses\.$/)],
  ["Logic", (desk) => desk.log.locator("table.truth tbody tr").first()],
]) {
  test(`another plan is opened while ${page} is open: its own results are there`, async () => {
    const { visitor, desk } = await opened("Kittiwake Light", page);
    await desk.log.locator("li.finding, .losses tbody tr, table.truth tbody tr").first().waitFor();
    await openFile(desk, "dusk-lamp.json", await readFile(LAMP, "utf8"));
    await seen(desk).waitFor();
    assert.equal(await desk.log.locator(".as-of").count(), 0);
    assert.equal(await desk.log.getByText("Causeway switch").count(), 0);
    await visitor.leave();
  });
}

test("a large plan is asked about on request, and says when that is of an earlier plan", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await openFile(desk, "base.json", base(208));
  await desk.paper.locator("g.card").first().waitFor();
  await turn(desk, "Losses");
  await desk.log.getByText(/^Survives \d+ of \d+ single losses/).waitFor({ timeout: 60_000 });
  await desk.paper.locator("g.card").first().focus();
  await desk.page.keyboard.press("Delete");
  await desk.log.getByText("As of the plan before your last edits.").waitFor();
  await desk.page.waitForTimeout(500);
  assert.equal(await desk.log.locator(".as-of").count(), 1);
  await desk.log.getByRole("button", { name: "Try every loss again" }).click();
  await expect(async () => assert.equal(await desk.log.locator(".as-of").count(), 0));
  await visitor.leave();
});

test("where the program for long work cannot be fetched, the page says so and goes on, and tries again", async () => {
  const wasm = (await readdir(station.folder)).find((name) => /^duskline-worker.*\.wasm$/.test(name));
  const [there, away] = [join(station.folder, wasm), join(station.folder, "away")];
  await rename(there, away);
  const { visitor, desk } = await opened("Dusk lamp", "Duties");
  await desk.log.getByText(/^Not worked out: the program for it could not be fetched \(the server answers 404\)\./).first().waitFor();
  await desk.card("Dusk lamp, Lamp").waitFor();
  await rename(away, there);
  await desk.log.getByRole("button", { name: "Check again" }).click();
  await expect(async () => assert.equal(await verdict(desk).textContent(), "All 2 duties kept, for ever"));
  await visitor.leave();
});

test("the page itself does not fetch what answers beside it, and does so once it is needed", async () => {
  const visitor = await station.visitor();
  const fetched = [];
  visitor.context.on("request", (request) => fetched.push(request.url()));
  const page = await visitor.open();
  await page.waitForLoadState("networkidle");
  assert.deepEqual(fetched.filter((url) => url.includes("worker")), []);
  const desk = new Desk(page);
  await desk.openExample("Dusk lamp");
  await expect(async () => assert.ok(fetched.some((url) => /duskline-worker[^/]*\.wasm$/.test(url))));
  await visitor.leave();
});
