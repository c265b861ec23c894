// A shelf of many plans in Chromium: `node tests/bench/plans.mjs [PLANS…]` after `cargo dev build`.
//
// Plans are those of losses.rs with 56 parts, each under a title of its own, taken in from one file. Told are the medians of
// several rounds, in milliseconds: from a reload until the board stands, and from a click on “Plans…” until the cards stand
// and the page has drawn them; once with small pictures still to be drawn, then with all of them kept.

import { base } from "./base.mjs";
import { served } from "./served.mjs";

const station = await served();
const ROUNDS = 5;
const median = (times) => times.sort((a, b) => a - b)[Math.floor(times.length / 2)];

/** The file of a shelf with so many plans. */
function shelf(count) {
  const plan = JSON.parse(base(56));
  const plans = Array.from({ length: count }, (_, at) => ({ plan: { ...plan, title: `Ledge ${at + 1} of the reef` }, origin: "own", changed: 1_700_000_000_000 + at }));
  return JSON.stringify({ format: "duskline/shelf", version: 1, plans });
}

/** Milliseconds from a click on “Plans…” until all cards stand and are drawn. */
const opens = (page, count) => page.evaluate(async (count) => {
  const drawn = () => new Promise((later) => requestAnimationFrame(() => setTimeout(later)));
  const button = [...document.querySelectorAll("header button")].find((b) => b.textContent === "Plans…");
  const start = performance.now();
  button.click();
  while (document.querySelectorAll("dialog[open] .plan").length < count) await drawn();
  await drawn();
  const took = performance.now() - start;
  [...document.querySelectorAll("dialog[open] button")].find((b) => b.textContent === "Close").click();
  await drawn();
  return took;
}, count);

console.log(" plans    board  first open  open  (ms, medians of 5; the first open once)");
for (const count of process.argv.length > 2 ? process.argv.slice(2).map(Number) : [50, 500]) {
  const page = await station.open();
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "File", exact: true }).click();
  await page.getByRole("button", { name: "Open a file…" }).click();
  await (await chooser).setFiles({ name: "plans.json", mimeType: "application/json", buffer: Buffer.from(shelf(count)) });
  await page.locator("dialog[open]").getByText("were added").waitFor({ timeout: 120_000 });
  const boards = [];
  await page.addInitScript(() => addEventListener("duskline-started", () => { window.startedAt = performance.now(); }));
  for (let round = 0; round < ROUNDS; round += 1) {
    await page.reload();
    await page.locator(".frame.whole").waitFor();
    boards.push(await page.evaluate(() => window.startedAt));
  }
  const first = await opens(page, count);
  // The pictures are drawn one by one.
  await page.waitForTimeout(count * 40);
  const again = [];
  for (let round = 0; round < ROUNDS; round += 1) again.push(await opens(page, count));
  console.log([[count, 6], [median(boards), 9], [first, 12], [median(again), 6]].map(([n, wide]) => String(Math.round(n)).padStart(wide)).join(""));
  await page.context().close();
}
await station.stop();
