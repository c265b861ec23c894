// What acts on the board cost: `node tests/bench/board.mjs [sizes…]` after `cargo dev build`, and once `npm ci` in
// tests/browser and in tests/bench.
//
// Beside the page, in the same browser and the same run, a general node-diagram library does the acts it has with as many
// nodes, edges and labels. Figures are milliseconds of a tab's main thread for one act, by its own processor time: median
// and 95th percentile of all, medians of script and of style with layout; `until` is by the clock, from the act to what it
// leads to. Frame gaps are by the clock too, from before the act to two frames after it, and so are long tasks (over 50 ms).

import * as acts from "./acts.mjs";
import { firstBoard } from "./first.mjs";
import { grid } from "./grid.mjs";
import { LibraryTab, bundled } from "./library.mjs";
import { Cost, Meter, quantile } from "./meter.mjs";
import { served } from "./served.mjs";
import { BoardTab } from "./tab.mjs";

// Aims at the 95th percentile for 500 and 2,000 parts, and against the library.
const AIMS = {
  "move of a dragged card": [8, 16, 0.5], "edit of place": [8, 16], "edit of words": [8, 16], "edit of power": [16, 50],
  "move of a pan": [4, 8, 0.5], "file until all in view stands": [300, 1000],
};

const sizes = process.argv.slice(2).map(Number);

async function tab(Kind, path) {
  const page = await station.empty();
  await Meter.observes(page);
  await page.goto(station.address + path);
  await page.locator(path ? ".react-flow" : ".frame").waitFor();
  return new Kind(page, await Meter.on(page));
}

/** Opens the plan in `rounds` new tabs; answers the cost and the last tab. */
async function opened(Kind, path, plan, rounds) {
  const cost = new Cost();
  for (let round = 1; ; round += 1) {
    const one = await tab(Kind, path);
    await one.meter.act(cost, () => one.open(plan));
    if (round === rounds) return [cost, one];
    await one.page.context().close();
  }
}

const columns = (cells) => cells.map((cell, i) => (i === 0 ? cell.padEnd(40) : cell.padStart(i === 6 ? 15 : 9))).join(" ");
const short = (ms) => (Number.isNaN(ms) ? "–" : ms.toFixed(ms < 10 ? 1 : 0));

function line(name, cost, beside, aim) {
  const gaps = [0.5, 0.95, 1].map((share) => short(quantile(cost.gaps, share))).join("/");
  const long = cost.long.length ? `${cost.long.length} to ${short(Math.max(...cost.long))}` : "none";
  const ratio = beside ? `${(cost.ms("all", 0.5) / beside.ms("all", 0.5)).toFixed(2)} ×` : "";
  console.log(columns([
    name, short(cost.ms("all", 0.5)), short(cost.ms("all", 0.95)), short(cost.ms("script", 0.5)), short(cost.ms("layout", 0.5)),
    short(cost.ms("until", 0.95)), gaps, long, ratio, aim ? `${aim}` : "",
  ]));
}

const station = await served({ more: await bundled() });
for (const size of sizes.length ? sizes : [100, 500, 2000]) {
  const plan = grid(size);
  const [n, openings] = size > 1000 ? [6, 2] : [24, 3];
  const aim = (name) => AIMS[name]?.[size > 1000 ? 1 : 0];
  console.log(`\n${plan.parts.length} parts, ${plan.wires.length} wires; ${n} rounds of an act`);
  console.log(columns(["act", "all", "95 %", "script", "layout", "until", "frame gaps", "long", "/library", "aim 95 %"]));
  const [libraryOpening, library] = await opened(LibraryTab, "library/", plan, openings);
  const [opening, board] = await opened(BoardTab, "", plan, openings);
  const [beside, cost] = [{}, {}];
  /** One act on both, or on the board alone, told at once. */
  const both = async (name, act, libraryAct = act, rounds = n) => {
    try {
      if (libraryAct) beside[name] = await libraryAct(library, rounds);
      cost[name] = await act(board, rounds);
      line(name, cost[name], beside[name], aim(name.split(",")[0]));
      if (beside[name]) line("  the library", beside[name]);
    } catch (error) {
      console.log(`${name}: ${error.message.split("\n")[0]}`);
    }
  };
  line("file until all in view stands", opening, libraryOpening, `${aim("file until all in view stands")} until`);
  line("  the library", libraryOpening);
  await board.goTo("Noon");
  for (const [where, go] of [["at Fit", "fit"], ["life size", "lifeSize"]]) {
    await library[go]();
    await board[go]();
    await both(`nothing, ${where}`, acts.nothing);
    await both(`move of a dragged card, ${where}`, acts.drag);
    await both(`move of a pan, ${where}`, acts.pan);
    await both(`step of the wheel, ${where}`, acts.zoom);
  }
  await both("edit of place, life size", acts.nudge);
  await both("edit of words, life size", acts.rename, acts.renameInLibrary);
  await both("edit of power, life size", acts.power, null);
  await board.goToDay(40);
  await both("edit of power, cursor on day 40", acts.power, null, Math.ceil(n / 3));
  await library.page.context().close();
  await board.page.context().close();
}
await station.stop();

try {
  const first = await firstBoard(3);
  console.log(`\nFirst board, cold at 10 Mbit/s and a quarter of the processor: ${short(first.ms)} ms (aim 1500), ${short(first.thread)} ms of the slowed thread`);
  console.log(`Bytes after Brotli: ${(first.first / 1000).toFixed(0)} kB until it stands (aim 450), ${(first.all / 1000).toFixed(0)} kB three seconds later (aim 800 in all)`);
} catch (error) {
  // On a machine with other work a slowed processor may never get there.
  console.log(`\nFirst board: not measured, ${error.message.split("\n")[0]}`);
  process.exitCode = 1;
}
