// What was opened once opens without a network, and a newer version is offered, not forced.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { PageDriver } from "./page-driver.mjs";
import { Station } from "./harness.mjs";

let station;
before(async () => { station = await Station.start({ copy: true }); });
after(() => station?.stop());

/** Waits until the page is kept for offline use. */
const kept = (page) => page.evaluate(async () => { await navigator.serviceWorker.ready; });

/** Whether a page is the changed one; not by its title, which the page sets itself. */
const isNewer = (page) => page.evaluate(() => "newer" in document.documentElement.dataset);

test("a newer version is told to every old tab, and taken on request", async () => {
  const visitor = await station.visitor({ offline: true });
  await kept(await visitor.open());
  const [one, other] = [await visitor.open(), await visitor.open()];
  for (const page of [one, other]) {
    await page.evaluate(() => addEventListener("duskline-update", () => { document.documentElement.dataset.told = "yes"; }));
    assert.equal(await page.locator("#update").isVisible(), false);
  }

  await station.change("index.html", (text) => text.replace("<html ", '<html data-newer="yes" '));
  await station.change("sw.js", (text) => text.replace(/version: "[0-9a-f]+"/, 'version: "newer"'));
  await one.evaluate(async () => { await (await navigator.serviceWorker.getRegistration()).update(); });
  for (const page of [one, other]) {
    await page.locator("#update").waitFor();
    await page.locator("html[data-told]").waitFor({ state: "attached" });
    assert.equal(await isNewer(page), false);
  }

  await one.getByRole("button", { name: "Reload" }).click();
  await one.locator("html[data-newer]").waitFor({ state: "attached" });
  // The other keeps what it shows until it is asked.
  assert.equal(await isNewer(other), false);
  await other.getByRole("button", { name: "Reload" }).click();
  await other.locator("html[data-newer]").waitFor({ state: "attached" });
  assert.deepEqual(await one.evaluate(async () => (await caches.keys()).map((name) => name.split(":").pop())), ["newer"]);
  await visitor.leave();
});

test("opens again without a network, also by file name and with a fragment", async () => {
  const visitor = await station.visitor({ offline: true });
  const first = await visitor.open();
  await kept(first);
  // What is still on its way when the network goes is no fault of the page's.
  await first.evaluate(async () => { await document.fonts.ready; });
  await first.waitForLoadState("networkidle");
  await first.close();
  await station.cutNetwork();
  for (const address of ["", "#later", "index.html", "?from=link"]) {
    const page = await visitor.open(address);
    assert.match(await page.title(), /^Duskline/);
    await page.close();
  }
  // What answers beside the page is kept too, though it was never needed before.
  const page = await visitor.open();
  await new PageDriver(page).openExample("Dusk lamp");
  await page.locator(".verdict").getByText("All 2 duties kept, for ever").waitFor();
  await page.close();
  // The browser asks for a newer service worker and does not find the server.
  visitor.faults = visitor.faults.filter((fault) => !/sw\.js|ERR_CONNECTION_REFUSED/.test(fault));
  await visitor.leave();
});
