// A plan taken away as a file and read back, chosen or dropped; a file that is none.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** Takes the open plan away by the menu, and answers the file. */
async function takeAway(driver) {
  const download = driver.page.waitForEvent("download");
  await driver.button("File").click();
  await driver.button("Save as a file").click();
  const file = await download;
  return { name: file.suggestedFilename(), buffer: await readFile(await file.path()) };
}

/** Chooses a file in the browser's dialog. */
async function readBack(driver, file) {
  const chooser = driver.page.waitForEvent("filechooser");
  await driver.button("File").click();
  await driver.button("Open a file…").click();
  await (await chooser).setFiles({ mimeType: "application/json", ...file });
}

test("taken away and read back, a plan is the same, and the open one stays kept", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  const whole = await driver.read();
  assert.ok(whole.parts.length >= 25);
  const file = await takeAway(driver);
  assert.equal(file.name, "Kittiwake Light.duskline.json");
  assert.equal(JSON.parse(file.buffer).format, "duskline/plan");

  await driver.newPlan();
  await driver.placePart("Lamp", [0.3, 0.3]);
  await driver.setTitle("Mine");
  await readBack(driver, file);
  await driver.reads(whole);
  await driver.openKept("Mine");
  await driver.hasCounts(1, 0);
  await visitor.leave();
});

test("a file dropped onto the page opens as another plan", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  const { buffer } = await takeAway(driver);
  await driver.newPlan();
  await driver.paper.evaluate((paper, text) => {
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(new File([text], "dropped.json", { type: "application/json" }));
    for (const kind of ["dragenter", "dragover", "drop"]) {
      paper.dispatchEvent(new DragEvent(kind, { dataTransfer, bubbles: true, cancelable: true }));
    }
  }, buffer.toString());
  await driver.hasCounts(6, 6);
  await visitor.leave();
});

/** Files that are no plan, and what is to be said of them. */
const BAD = [
  ["no JSON", "this is a letter", /can't be read as a plan/],
  ["nothing", "", /can't be read as a plan/],
  ["another format", '{"format":"other","version":1}', /duskline\/plan/],
  ["a newer version", '{"format":"duskline/plan","version":99,"book":"outpost","parts":[],"wires":[]}', /99/],
];

test("a file that is no plan is told of, and nothing is lost", async (t) => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.placePart("Lamp", [0.3, 0.3]);
  const before = await driver.read();
  for (const [what, text, said] of BAD) {
    await t.test(what, async () => {
      await readBack(driver, { name: "odd.json", buffer: Buffer.from(text) });
      const [, told] = await driver.readDialog();
      assert.match(told, said);
      await expect(async () => assert.deepEqual(await driver.read(), before));
    });
  }
  await visitor.leave();
});
