// What a long sitting costs: `node tests/bench/memory.mjs [acts]` (10,000 unless told) after `cargo dev build`.
//
// Random acts on the 33 parts of Kittiwake Light, always the same ones: nudges, undos, redos, duplicates that are deleted
// again, jumps in time. At every quarter, with nothing chosen and garbage collected: the program's own memory, the heap of
// scripts, nodes and listeners of the document; and milliseconds of the page's thread by an act of that quarter.

import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { Meter } from "./meter.mjs";
import { served } from "./served.mjs";
import { BoardTab, cardInView } from "./tab.mjs";

const ACTS = Number(process.argv[2] ?? 10_000);
const example = fileURLToPath(new URL("../../assets/examples/kittiwake-light.json", import.meta.url));
const plan = JSON.parse(await readFile(example, "utf8"));

let seed = 33;
/** A whole number below `n`, from a linear congruential generator. */
function below(n) {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
  return Math.floor((seed / 2 ** 32) * n);
}

const station = await served();
const page = await station.empty();
await Meter.observes(page);
await page.addInitScript(() => {
  // Keeps the program's memory, whichever way it is started.
  for (const name of ["instantiate", "instantiateStreaming"]) {
    const own = WebAssembly[name];
    WebAssembly[name] = async (...args) => {
      const made = await own.apply(WebAssembly, args);
      const memory = (made.instance ?? made).exports?.memory;
      if (memory) globalThis.programMemory = memory;
      return made;
    };
  }
});
await page.goto(station.address);
await page.locator(".frame").waitFor();
const meter = await Meter.on(page);
const tab = new BoardTab(page, meter);
await tab.open(plan);
await tab.fit();

const parts = () => page.evaluate(() => Number(document.querySelector(".parts").dataset.count));

/** Chooses a card in view by a click. */
async function choose() {
  const names = plan.parts.map((part) => part.name).filter(Boolean);
  const card = await cardInView(tab, names[below(names.length)]).catch(() => cardInView(tab));
  await page.mouse.click(card.x, card.y);
}

/** Steps back or forth; never stays between a duplicate and its deletion, where the plan is larger. */
async function step(key) {
  for (let press = 0; press < 5; press += 1) {
    await page.keyboard.press(key);
    if ((await parts()) === plan.parts.length) return;
  }
  throw new Error(`${key} does not lead back to ${plan.parts.length} parts`);
}

const HOURS = ["Midnight", "Dawn", "Noon", "Dusk"];
const WAYS = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"];
async function act() {
  const which = below(20);
  if (which < 9) {
    if (below(5) === 0) await choose();
    await page.keyboard.press(WAYS[below(4)]);
  } else if (which < 13) {
    await step("Control+z");
  } else if (which < 15) {
    await step("Control+y");
  } else if (which < 17) {
    await choose();
    await page.keyboard.press("Control+d");
    await page.keyboard.press("Delete");
  } else {
    await tab.goTo(HOURS[below(4)]);
  }
}

/** What is held now. */
async function held() {
  await tab.goTo("Noon");
  for (let press = 0; press < 3; press += 1) await tab.paperKey("Escape");
  await meter.frames(10);
  await meter.cdp.send("HeapProfiler.collectGarbage");
  const metrics = await meter.metrics();
  const program = await page.evaluate(() => globalThis.programMemory?.buffer.byteLength ?? NaN);
  return { program, heap: metrics.JSHeapUsedSize, nodes: metrics.Nodes, listeners: metrics.JSEventListeners };
}

const mb = (bytes) => (bytes / 2 ** 20).toFixed(1).padStart(8);
console.log("    acts  program, MB  scripts, MB    nodes  listeners  ms by an act");
async function line(acts, ms) {
  const { program, heap, nodes, listeners } = await held();
  console.log(`${String(acts).padStart(8)}     ${mb(program)}     ${mb(heap)} ${String(nodes).padStart(8)}   ${String(listeners).padStart(8)}  ${ms?.toFixed(1).padStart(12) ?? ""}`);
}
await line(0);
for (let quarter = 1; quarter <= 4; quarter += 1) {
  const before = await meter.metrics();
  const [from, to] = [Math.round(ACTS * (quarter - 1) / 4), Math.round(ACTS * quarter / 4)];
  for (let n = from; n < to; n += 1) {
    await act();
    await meter.frames(1);
    // The notes of frames are not to grow.
    if (n % 50 === 0) await page.evaluate(() => globalThis.meter.take());
  }
  const after = await meter.metrics();
  await line(to, (after.TaskDuration - before.TaskDuration) * 1000 / (to - from));
}
await station.stop();
