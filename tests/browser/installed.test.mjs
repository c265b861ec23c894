// The page as an installed program: what a browser says of its manifest, and what it is started with.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** The size that stands in a PNG file's head: https://www.w3.org/TR/png/#11IHDR, read there. */
const pngSize = (bytes) => `${bytes.readUInt32BE(16)}x${bytes.readUInt32BE(20)}`;

test("the browser finds nothing against installing the page, and its icons are what the manifest says", async () => {
  const visitor = await station.visitor({ offline: true });
  const page = await visitor.open();
  await page.evaluate(async () => { await navigator.serviceWorker.ready; });
  const session = await visitor.context.newCDPSession(page);
  const { url, data, errors } = await session.send("Page.getAppManifest");
  assert.deepEqual(errors, []);
  const { installabilityErrors } = await session.send("Page.getInstallabilityErrors");
  // A visitor of a test has storage of its own, as a private window has; that is all the browser minds.
  assert.deepEqual(installabilityErrors.map((error) => error.errorId).filter((id) => id !== "in-incognito"), []);
  const manifest = JSON.parse(data);
  for (const { src, sizes } of manifest.icons) {
    const icon = await visitor.context.request.get(new URL(src, url).href);
    assert.equal(pngSize(await icon.body()), sizes, src);
  }
  await visitor.leave();
});

/** A visitor whose browser hands the page, once it listens, what it was started with. */
async function startedWith(launch) {
  const visitor = await station.visitor();
  await visitor.context.addInitScript(launch);
  return { visitor, driver: new PageDriver(await visitor.open()) };
}

test("a file that is opened with the installed page is opened as another plan", async () => {
  const { visitor, driver } = await startedWith(() => {
    const text = JSON.stringify({ format: "duskline/plan", version: 1, title: "From outside", book: "outpost", parts: [{ id: "p1", type: "lamp", x: 0, y: 0 }] });
    const handle = { getFile: async () => new File([text], "outside.duskline.json") };
    Object.defineProperty(globalThis, "launchQueue", { value: { setConsumer: (hear) => hear({ files: [handle], targetURL: location.href }) } });
  });
  await driver.hasCounts(1, 0);
  await expect(async () => assert.match(await driver.page.title(), /^From outside/));
  await visitor.leave();
});

test("a link that is opened with the installed page is opened as another plan, and a file that is gone is said", async () => {
  const sender = await station.visitor();
  const theirs = new PageDriver(await sender.open());
  await theirs.openExample("Dusk lamp");
  const link = await theirs.copyLink();
  await sender.leave();
  const visitor = await station.visitor();
  await visitor.context.addInitScript(() => {
    Object.defineProperty(globalThis, "launchQueue", { value: { setConsumer: (hear) => { globalThis.launched = hear; } } });
  });
  const driver = new PageDriver(await visitor.open());
  await driver.page.evaluate((targetURL) => globalThis.launched({ files: [], targetURL }), link);
  await driver.hasCounts(6, 6);
  await driver.page.evaluate(() => globalThis.launched({ files: [{ getFile: async () => { throw new Error("gone"); } }] }));
  await driver.says(/could not be read/);
  await visitor.leave();
});
