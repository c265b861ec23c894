// A plan sent as a link: it opens elsewhere with the same numbers, writes over nothing, and a bad one is told plainly.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const fragmentOf = (link) => link.slice(link.indexOf("#"));

/** A visitor with the dusk lamp of the examples open, under a title of its own. */
async function withPlan(title) {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.setTitle(title);
  await driver.isKept();
  return { visitor, driver };
}

/** All plans that the page keeps, as texts. */
const kept = async (driver) => Object.values(await driver.kept()).map((plan) => JSON.stringify(plan)).sort();

test("a link opens in a second tab with the same board and numbers, beside the plan that is stored", async () => {
  const { visitor, driver } = await withPlan("The sender's");
  await driver.setTime("Midnight");
  await driver.readsOnWire("Shelf battery", "out", "5 / 30");
  const sent = await driver.read();
  const link = await driver.copyLink();
  assert.match(link, /#d1\.[A-Za-z0-9_-]+$/);
  assert.ok(link.startsWith(station.address));

  // The sender goes on and takes a part away.
  await driver.choose("Dusk lamp");
  await driver.page.keyboard.press("Delete");
  await driver.hasCounts(5, 5);
  await driver.isKept();
  const after = await driver.read();
  const before = await kept(driver);

  const other = new PageDriver(await visitor.open(fragmentOf(link)));
  await other.setTime("Midnight");
  await other.reads(sent);
  assert.equal(new URL(other.page.url()).hash, "", "the fragment stays in the address");
  await driver.reads(after);
  const now = await kept(other);
  assert.equal(now.length, before.length + 1);
  for (const text of before) assert.ok(now.includes(text), "a stored plan was written over");

  // Each tab has its own plan open, after a reload too.
  await driver.page.reload();
  await visitor.started(driver.page);
  await driver.setTime("Midnight");
  await driver.reads(after);
  await visitor.leave();
});

test("a link opens for somebody else, who keeps what he has", async () => {
  const { visitor, driver } = await withPlan("The sender's");
  const link = await driver.copyLink();
  await driver.setTime("Midnight");
  const sent = await driver.read();
  await visitor.leave();

  const { visitor: friend, driver: own } = await withPlan("The friend's");
  const before = await kept(own);
  const other = new PageDriver(await friend.open(fragmentOf(link)));
  await other.setTime("Midnight");
  await other.reads(sent);
  assert.ok((await kept(other)).includes(before[0]));
  await other.openKept("The friend's");
  await expect(async () => assert.match(await other.page.title(), /^The friend's/));
  await friend.leave();
});

test("pasted into the address of an open page, a link opens as another plan", async () => {
  const { visitor, driver } = await withPlan("Mine");
  const link = await driver.copyLink();
  await driver.newPlan();
  await driver.page.evaluate((hash) => { location.hash = hash; }, fragmentOf(link));
  await driver.hasCounts(6, 6);
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
  const { visitor, driver } = await withPlan("Mine");
  const good = fragmentOf(await driver.copyLink());
  const [whole, before] = [await driver.read(), await kept(driver)];
  for (const [what, broken, said] of BAD) {
    await t.test(what, async () => {
      const other = new PageDriver(await visitor.open(broken(good)));
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
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Sun panel", [0.2, 0.3]);
  await driver.placePart("Lamp", [0.7, 0.3]);
  await driver.wire("Sun panel", "out", "Lamp", "in");
  await driver.setTitle("<b>bold</b>");
  await driver.choose("Lamp");
  await driver.details.getByLabel("Name", { exact: true }).fill(hostile.slice(0, 60));
  await driver.page.keyboard.press("Enter");
  await driver.card(hostile.slice(0, 60)).waitFor();
  const link = await driver.copyLink();

  const other = new PageDriver(await visitor.open(fragmentOf(link)));
  await other.card(hostile.slice(0, 60)).waitFor();
  await other.choose(hostile.slice(0, 60));
  await other.chooseWire("Sun panel", "out");
  await other.button("Plans…").click();
  for (const { page } of [driver, other]) {
    assert.equal(await page.locator("img, main b, dialog b, svg script, main script").count(), 0);
    assert.equal(await page.locator("html[data-hacked]").count(), 0);
  }
  await visitor.leave();
});
