// The page comes up, whole and without complaint.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, assertAccessible } from "./harness.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

for (const [what, size] of [["wide", { width: 1440, height: 900 }], ["narrow", { width: 390, height: 844 }]]) {
  for (const theme of ["light", "dark"]) {
    test(`opens ${what} and ${theme}, with its title, without errors, accessible`, async () => {
      const visitor = await station.visitor({ size, theme, touch: what === "narrow" });
      const page = await visitor.open();
      assert.equal(await page.title(), "Duskline");
      assert.equal(await page.locator("#failed").isVisible(), false);
      assert.equal(await page.locator("#update").isVisible(), false);
      await assertAccessible(page);
      await visitor.leave();
    });
  }
}

test("a fragment in the address is not taken for a place in the page", async () => {
  const visitor = await station.visitor();
  const page = await visitor.open("#");
  assert.equal(await page.locator("#failed").isVisible(), false);
  await visitor.leave();
});

test("where the program cannot be fetched, the page says so in plain words", async () => {
  const visitor = await station.visitor();
  const page = await visitor.context.newPage();
  await page.route("**/*.wasm", (route) => route.fulfill({ status: 404 }));
  await page.goto(station.address);
  await page.getByRole("heading", { name: "Duskline did not start" }).waitFor();
  assert.equal(await page.locator("#loading").count(), 0);
  visitor.expectFaults(/./);
  await visitor.leave();
});
