// How long days take in Chromium, in the page's own worker: `node tests/bench/browser.mjs` after `cargo dev build`.
//
// Plans are the stations of speed.rs. Every figure is the median of several rounds, from the question to the last byte of
// the answer, less the same for a run of no days: reading the plan and going to and fro are not counted.

import { served } from "./served.mjs";

/** The plan of `size` parts that speed.rs makes. */
function plan(size, dense) {
  const parts = [];
  const wires = [];
  const delay = dense ? 120 : 3600;
  for (let n = 0; n < Math.ceil(size / 8); n += 1) {
    const id = (k) => `p${n * 8 + k}`;
    const kinds = [
      ["sun-panel", { azimuth: 90 + (n % 180), tilt: 20 + (n % 50) }], ["tap"], ["battery"], ["heater"],
      ["relay", { contact: "break" }], ["lamp"], ["on-delay", { delay_s: delay, contact: "break" }], ["off-delay", { delay_s: delay }],
    ];
    kinds.forEach(([type, set], k) => parts.push({ id: id(k + 1), type, ...(set && { set }) }));
    const ends = [
      [1, "out", 2, "in"], [2, "tap", 5, "coil"], [2, "rest", 3, "in"], [3, "out", 4, "in"], [4, "loop", 5, "feed"],
      [5, "out", 6, "in"],
      ...(dense ? [[6, "loop", 7, "feed"], [7, "out", 7, "trigger"]] : [[6, "loop", 8, "feed"], [8, "out", 7, "trigger"]]),
    ];
    for (const [from, out, to, into] of ends) {
      wires.push({ id: `w${wires.length + 1}`, from: `${id(from)}.${out}`, to: `${id(to)}.${into}` });
    }
  }
  const world = { sky: { latitude: 56, day_of_year: 80 } };
  return JSON.stringify({ format: "duskline/plan", version: 1, book: "outpost", world, parts, wires, duties: [] });
}

const station = await served();
const page = await station.open();

/** Median milliseconds of `rounds` questions: the plan run for `days`, asked of one worker. */
const median = (text, days, rounds) => page.evaluate(async ([text, days, rounds]) => {
  const varint = (n) => { const out = []; while (n > 127) { out.push((n % 128) + 128); n = Math.floor(n / 128); } return [...out, n]; };
  const name = document.querySelector("meta[name=duskline-worker]").content;
  const worker = new Worker("./worker.js", { type: "module" });
  const heard = [];
  let wake = () => {};
  worker.onmessage = (event) => { heard.push(event.data); wake(); };
  const next = async () => {
    while (heard.length === 0) await new Promise((come) => { wake = come; });
    return heard.shift();
  };
  worker.postMessage({ name });
  while ((await next()) !== "ready");
  const body = new TextEncoder().encode(text);
  const times = [];
  for (let round = 0; round < rounds; round += 1) {
    // As the program's own bytes: message 0 (a question), number, question 0 (a run), extent 0 (days) with their number, a
    // plan is there, its text.
    const bytes = new Uint8Array([0, ...varint(round + 1), 0, 0, ...varint(days), 1, ...varint(body.length), ...body]);
    const start = performance.now();
    worker.postMessage(bytes);
    // Message 2 says that it is over.
    while ((await next())[0] !== 2);
    times.push(performance.now() - start);
  }
  worker.terminate();
  return times.sort((a, b) => a - b)[Math.floor(rounds / 2)];
}, [text, days, rounds]);

console.log("parts  dense  day, ms  (read and sent, ms)");
for (const dense of [false, true]) {
  for (const size of [48, 504, 1000, 5000]) {
    const text = plan(size, dense);
    const [none, day] = [await median(text, 0, 9), await median(text, 1, 9)];
    console.log(`${String(size).padStart(5)}  ${dense ? "dense" : "     "}  ${(day - none).toFixed(1).padStart(7)}  ${none.toFixed(1)}`);
  }
}
await station.stop();
