// How long after an edit proof is fresh in Chromium: `node tests/bench/fresh.mjs [PARTS…]` after `cargo dev build`.
//
// Plans are those of losses.rs, one base. An edit is a step of the count of the battery by the button's own way through the
// page: it changes power. A figure is the median of several rounds, from the edit to the moment the page shows the new
// answer: verdict (with no page of the log open), findings, losses and autonomy (each with its page open, all others
// being worked out beside it).

import { base } from "./base.mjs";
import { served } from "./served.mjs";

const station = await served();
const ROUNDS = 5;

async function opened(size) {
  const page = await station.open();
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "File", exact: true }).click();
  await page.getByRole("button", { name: "Open a file…" }).click();
  await (await chooser).setFiles({ name: "base.json", mimeType: "application/json", buffer: Buffer.from(base(size)) });
  await page.locator(".paper g.card").first().waitFor();
  await page.locator(".paper g.card").nth(3).focus();
  await page.keyboard.press("Space");
  await page.getByLabel("How many", { exact: true }).waitFor();
  return page;
}

/** Median milliseconds from an edit until nothing under `root` is marked as old or under way. */
const fresh = (page, root, rounds) => page.evaluate(async ([root, rounds]) => {
  const times = [];
  const next = () => new Promise((later) => requestAnimationFrame(() => setTimeout(later)));
  const busy = () => {
    const all = document.querySelector(root);
    return !all || all.matches(".old") || all.querySelector(".old, .as-of, .under-way progress, .verdict-old") !== null;
  };
  const until = async (want) => {
    const end = performance.now() + 120_000;
    while (busy() !== want && performance.now() < end) await next();
  };
  await until(false);
  for (let round = 0; round < rounds; round += 1) {
    await new Promise((later) => setTimeout(later, 1500));
    await until(false);
    const field = [...document.querySelectorAll("label")].find((label) => label.textContent.trim() === "How many").control;
    field.focus();
    field.value = String(30 + ((round % 2) + 1) * 7 + round);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    const start = performance.now();
    field.dispatchEvent(new Event("change", { bubbles: true }));
    field.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true }));
    field.blur();
    await until(true);
    await until(false);
    times.push(performance.now() - start);
  }
  return times.sort((a, b) => a - b)[Math.floor(rounds / 2)];
}, [root, rounds]);

const PAGES = [["Day", ".verdict-line", "verdict"], ["Duties", ".autonomy", "autonomy"], ["Findings", ".findings-main", "findings"], ["Losses", ".proof-page", "losses"]];
console.log(`parts  ${PAGES.map(([, , name]) => name.padStart(9)).join("")}  (ms from edit to fresh, medians of ${ROUNDS})`);
for (const size of process.argv.length > 2 ? process.argv.slice(2).map(Number) : [56, 104, 200]) {
  const page = await opened(size);
  const figures = [];
  for (const [name, root] of PAGES) {
    await page.getByRole("tab", { name, exact: true }).click();
    figures.push(await fresh(page, root, ROUNDS));
  }
  console.log(`${String(size).padStart(5)}  ${figures.map((ms) => ms.toFixed(0).padStart(9)).join("")}`);
  await page.context().close();
}
await station.stop();
