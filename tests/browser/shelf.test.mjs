// The shelf's search: the best match of a name is first and is what Enter places.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

test("a few letters and Enter place the part whose name they begin; what only describes it comes later", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const search = driver.shelf.getByRole("searchbox");
  const found = driver.shelf.locator(".kind");
  for (const [n, [letters, name]] of [["lam", "Lamp"], ["heat", "Heater"], ["rel", "Relay"]].entries()) {
    await search.fill(letters);
    await expect(async () => assert.equal(await found.first().textContent(), name));
    assert.equal(await found.first().getAttribute("tabindex"), "0");
    await search.press("Enter");
    await driver.hasCounts(n + 1, 0);
    await driver.card(name).waitFor();
    const cards = await driver.paper.locator("g.card rect.ground").evaluateAll((all) => all.map((r) => r.getBoundingClientRect()).map(({ left, right, top, bottom }) => [left, right, top, bottom]));
    for (const a of cards) {
      const near = cards.filter((b) => b !== a && a[0] - 20 < b[1] && b[0] < a[1] + 20 && a[2] - 20 < b[3] && b[2] < a[3] + 20);
      assert.deepEqual(near, [], "cards stand clear of each other");
    }
  }
  await visitor.leave();
});
