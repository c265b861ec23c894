// The browser's database failing at any write of a sitting: no room, refused, broken off half-way. Never is more than the
// last edit missing afterwards, never a plan unreadable, and what can't be kept is said.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** So many writes of a save are made to fail, one in each round; a save has about five. */
const ROUNDS = 6;

/** From now on the page counts its writes, and one that is named fails: it throws this error, or breaks its transaction off. */
function failing() {
  const put = IDBObjectStore.prototype.put;
  globalThis.fault = null;
  IDBObjectStore.prototype.put = function (...given) {
    const fault = globalThis.fault;
    if (fault && (fault.left -= 1) === 0) {
      globalThis.failed = true;
      if (fault.error) throw new DOMException("for a test", fault.error);
      const request = put.apply(this, given);
      this.transaction.abort();
      return request;
    }
    return put.apply(this, given);
  };
}

const TITLE = "Title of the plan";
const title = (driver) => driver.page.getByRole("textbox", { name: TITLE }).inputValue();

for (const [kind, error] of [["no room", "QuotaExceededError"], ["refused", "NotAllowedError"], ["broken off", null]]) {
  test(`${kind}, at each write in turn: at most the last edit is missing, and no plan is unreadable`, async () => {
    const visitor = await station.visitor();
    await visitor.context.addInitScript(failing);
    const driver = new PageDriver(await visitor.open());
    await driver.openExample("Dusk lamp");
    await driver.newPlan();
    await driver.placePart("Lamp", [0.5, 0.3]);
    await driver.setTitle("Step 0");
    await driver.isKept();
    let failures = 0;
    for (let round = 1; round <= ROUNDS; round += 1) {
      await driver.page.evaluate(([left, error]) => { globalThis.failed = false; globalThis.fault = { left, error }; }, [round, error]);
      await driver.setTitle(`Step ${round}`);
      // The edit is tried to be kept half a second later.
      await driver.page.waitForTimeout(900);
      const failed = await driver.page.evaluate(() => globalThis.failed);
      failures += failed;
      assert.equal(await title(driver), `Step ${round}`, "the plan in memory is as it was edited");
      await driver.page.evaluate(() => { globalThis.fault = null; });
      if (round % 2 === 0) {
        // Storage works again: the next edit is kept, with all before it, and nothing is complained of any more.
        await driver.setTitle(`Step ${round}, again`);
        await driver.isKept();
        await driver.page.locator(".standing", { hasText: "not saved" }).waitFor({ state: "detached" });
      }
      const last = await title(driver);
      const records = Object.values(await driver.kept());
      assert.equal(records.length, 2);
      await driver.page.reload();
      await visitor.started(driver.page);
      await driver.hasCounts(1, 0);
      const found = await title(driver);
      const before = round % 2 === 0 ? [last] : [last, `Step ${round - 1}`, `Step ${round - 1}, again`];
      assert.ok(before.includes(found), `“${found}” came back, and “${last}” was the last`);
      await expect(async () => assert.equal(await driver.dialog.count(), 0));
      await driver.openKept("Dusk lamp");
      await driver.hasCounts(6, 6);
      await driver.openKept(found);
      await driver.hasCounts(1, 0);
    }
    assert.ok(failures >= 3, `${failures} writes failed`);
    await visitor.leave();
  });
}

test("what can't be kept is said while it can't, with the file as the way out", async () => {
  const visitor = await station.visitor();
  await visitor.context.addInitScript(failing);
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.5, 0.3]);
  await driver.isKept();
  await driver.page.evaluate(() => { globalThis.fault = { left: 1, error: "QuotaExceededError" }; });
  await driver.setTitle("Too much");
  const line = driver.page.locator(".standing", { hasText: "The browser's room for this page is full" });
  await line.waitFor();
  const download = driver.page.waitForEvent("download");
  await line.getByRole("button", { name: "Save as a file" }).click();
  assert.match((await download).suggestedFilename(), /^Too much/);
  await driver.setTitle("There is room again");
  await driver.isKept();
  await line.waitFor({ state: "detached" });
  await visitor.leave();
});
