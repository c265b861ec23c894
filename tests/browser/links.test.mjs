// A plan sent as a link: it opens elsewhere with the same numbers, writes over nothing, and a bad one is told plainly.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const fragmentOf = (link) => link.slice(link.indexOf("#"));

/** A visitor with the dusk lamp of the examples open, under a title of its own. */
async function withPlan(title) {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.openExample("Dusk lamp");
  await desk.setTitle(title);
  await desk.isKept();
  return { visitor, desk };
}

/** All texts that the page keeps under keys of plans. */
const kept = (desk) => desk.page.evaluate(() =>
  Object.entries(localStorage).filter(([key]) => /^duskline:.*:plan\//.test(key)).map(([, text]) => text).sort());

test("a link opens in a second tab with the same board and numbers, beside the plan that is stored", async () => {
  const { visitor, desk } = await withPlan("The sender's");
  await desk.setTime("Midnight");
  await desk.readsOnWire("Shelf battery", "out", "5 / 30");
  const sent = await desk.read();
  const link = await desk.copyLink();
  assert.match(link, /#d1\.[A-Za-z0-9_-]+$/);
  assert.ok(link.startsWith(station.address));

  // The sender goes on and takes a part away.
  await desk.choose("Dusk lamp");
  await desk.page.keyboard.press("Delete");
  await desk.hasCounts(5, 5);
  await desk.isKept();
  const after = await desk.read();
  const before = await kept(desk);

  const other = new Desk(await visitor.open(fragmentOf(link)));
  await other.setTime("Midnight");
  await other.reads(sent);
  assert.equal(new URL(other.page.url()).hash, "", "the fragment stays in the address");
  await desk.reads(after);
  const now = await kept(other);
  assert.equal(now.length, before.length + 1);
  for (const text of before) assert.ok(now.includes(text), "a stored plan was written over");

  // Each tab has its own plan open, after a reload too.
  await desk.page.reload();
  await visitor.started(desk.page);
  await desk.setTime("Midnight");
  await desk.reads(after);
  await visitor.leave();
});

test("a link opens for somebody else, who keeps what he has", async () => {
  const { visitor, desk } = await withPlan("The sender's");
  const link = await desk.copyLink();
  await desk.setTime("Midnight");
  const sent = await desk.read();
  await visitor.leave();

  const { visitor: friend, desk: own } = await withPlan("The friend's");
  const before = await kept(own);
  const other = new Desk(await friend.open(fragmentOf(link)));
  await other.setTime("Midnight");
  await other.reads(sent);
  assert.ok((await kept(other)).includes(before[0]));
  await other.openKept("The friend's");
  await expect(async () => assert.match(await other.page.title(), /^The friend's/));
  await friend.leave();
});

test("pasted into the address of an open page, a link opens as another plan", async () => {
  const { visitor, desk } = await withPlan("Mine");
  const link = await desk.copyLink();
  await desk.newPlan();
  await desk.page.evaluate((hash) => { location.hash = hash; }, fragmentOf(link));
  await desk.hasCounts(6, 6);
  await visitor.leave();
});

/** What is done to a good link's fragment, and what the message is to say of it. */
const BAD = [
  ["cut off in the middle", (f) => f.slice(0, Math.floor(f.length / 2)), /cut off/],
  ["cut off at the last character", (f) => f.slice(0, -2), /cut off|damaged/],
  ["one character changed", (f) => f.slice(0, 40) + (f[40] === "A" ? "B" : "A") + f.slice(41), /damaged/],
  ["of a later version", (f) => f.replace("#d1.", "#d9."), /version 9/],
  ["not a link", () => "#hello", /no link to a plan/],
  ["nothing but its head", () => "#d1.", /cut off|damaged/],
  ["signs that no link has", () => "#d1.%00%ff%3Cscript%3E", /damaged|cut off/],
  ["markup", () => "#<img src=x onerror=document.documentElement.dataset.hacked=1>", /no link to a plan/],
  ["markup after a head", (f) => `${f}"><script>document.documentElement.dataset.hacked=1</script>`, /damaged|cut off/],
  ["very long", () => `#d1.${"A".repeat(1_500_000)}`, /damaged|cut off|unpack/],
];

test("a broken link is told of in a dialog, and the stored plan is as it was", async (t) => {
  const { visitor, desk } = await withPlan("Mine");
  const good = fragmentOf(await desk.copyLink());
  const [whole, before] = [await desk.read(), await kept(desk)];
  for (const [what, broken, said] of BAD) {
    await t.test(what, async () => {
      const other = new Desk(await visitor.open(broken(good)));
      const [heading, text] = await other.readDialog();
      assert.match(heading, /can't be opened|damaged/i);
      assert.match(text, said);
      assert.equal(await other.page.locator("html[data-hacked]").count(), 0);
      await other.reads(whole);
      assert.deepEqual(await kept(other), before);
      await other.page.close();
    });
  }
  await visitor.leave();
});

test("text from a plan is never taken as markup", async () => {
  const hostile = '<img src=x onerror="document.documentElement.dataset.hacked=1"><b>B</b>';
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.placePart("Sun panel", [0.2, 0.3]);
  await desk.placePart("Lamp", [0.7, 0.3]);
  await desk.wire("Sun panel", "out", "Lamp", "in");
  await desk.setTitle("<b>bold</b>");
  await desk.choose("Lamp");
  await desk.details.getByLabel("Name", { exact: true }).fill(hostile.slice(0, 60));
  await desk.page.keyboard.press("Enter");
  await desk.card(hostile.slice(0, 60)).waitFor();
  const link = await desk.copyLink();

  const other = new Desk(await visitor.open(fragmentOf(link)));
  await other.card(hostile.slice(0, 60)).waitFor();
  await other.choose(hostile.slice(0, 60));
  await other.chooseWire("Sun panel", "out");
  await other.button("Plans…").click();
  for (const { page } of [desk, other]) {
    assert.equal(await page.locator("img, main b, dialog b, svg script, main script").count(), 0);
    assert.equal(await page.locator("html[data-hacked]").count(), 0);
  }
  await visitor.leave();
});
