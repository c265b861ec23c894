// A plan taken away as a file and read back, chosen or dropped; a file that is none.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { Desk } from "./desk.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** Takes the open plan away by the menu, and answers the file. */
async function takeAway(desk) {
  const download = desk.page.waitForEvent("download");
  await desk.button("File").click();
  await desk.button("Save as a file").click();
  const file = await download;
  return { name: file.suggestedFilename(), buffer: await readFile(await file.path()) };
}

/** Chooses a file in the browser's dialog. */
async function readBack(desk, file) {
  const chooser = desk.page.waitForEvent("filechooser");
  await desk.button("File").click();
  await desk.button("Open a file…").click();
  await (await chooser).setFiles({ mimeType: "application/json", ...file });
}

test("taken away and read back, a plan is the same, and the open one stays kept", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.openExample("Kittiwake Light");
  const whole = await desk.read();
  assert.ok(whole.parts.length >= 25);
  const file = await takeAway(desk);
  assert.equal(file.name, "Kittiwake Light.duskline.json");
  assert.equal(JSON.parse(file.buffer).format, "duskline/plan");

  await desk.newPlan();
  await desk.placePart("Lamp", [0.3, 0.3]);
  await desk.setTitle("Mine");
  await readBack(desk, file);
  await desk.reads(whole);
  await desk.openKept("Mine");
  await desk.hasCounts(1, 0);
  await visitor.leave();
});

test("a file dropped onto the page opens as another plan", async () => {
  const visitor = await station.visitor();
  const desk = new Desk(await visitor.open());
  await desk.openExample("Dusk lamp");
  const { buffer } = await takeAway(desk);
  await desk.newPlan();
  await desk.paper.evaluate((paper, text) => {
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(new File([text], "dropped.json", { type: "application/json" }));
    for (const kind of ["dragenter", "dragover", "drop"]) {
      paper.dispatchEvent(new DragEvent(kind, { dataTransfer, bubbles: true, cancelable: true }));
    }
  }, buffer.toString());
  await desk.hasCounts(6, 6);
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
  const desk = new Desk(await visitor.open());
  await desk.placePart("Lamp", [0.3, 0.3]);
  const before = await desk.read();
  for (const [what, text, said] of BAD) {
    await t.test(what, async () => {
      await readBack(desk, { name: "odd.json", buffer: Buffer.from(text) });
      const [, told] = await desk.readDialog();
      assert.match(told, said);
      await expect(async () => assert.deepEqual(await desk.read(), before));
    });
  }
  await visitor.leave();
});
