// How long all single losses take in Chromium: `node tests/bench/losses.mjs` after `cargo dev build`.
//
// Plans are those of losses.rs. A figure is the median of several rounds from a click on the button to the summary on the
// page: reading the plan in the worker, its answers in pieces and drawing them are counted, starting a worker is not.

import { base } from "./base.mjs";
import { served } from "./served.mjs";

const station = await served();

async function measured(size, apart) {
  const page = await station.open();
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "File", exact: true }).click();
  await page.getByRole("button", { name: "Open a file…" }).click();
  await (await chooser).setFiles({ name: "base.json", mimeType: "application/json", buffer: Buffer.from(base(size, apart)) });
  await page.locator(".paper g.card").first().waitFor();
  await page.getByRole("tab", { name: "Losses", exact: true }).click();
  await page.getByText(/^Survives /).waitFor({ timeout: 120_000 });
  const times = await page.evaluate(async () => {
    const again = () => [...document.querySelectorAll(".proof-head button")].find((button) => button.textContent === "Try every loss again");
    const times = [];
    for (let round = 0; round < 5; round += 1) {
      const start = performance.now();
      again().click();
      await new Promise((seen) => {
        const look = () => (performance.now() > start && again() && document.querySelector(".proof-says").textContent.startsWith("Survives") ? seen() : setTimeout(look));
        setTimeout(look);
      });
      times.push(performance.now() - start);
    }
    return times.sort((a, b) => a - b);
  });
  await page.context().close();
  return times[2];
}

console.log("parts  hangs together  all single losses, ms");
for (const apart of [false, true]) {
  for (const size of [56, 104, 200, 400]) {
    const ms = await measured(size, apart);
    console.log(`${String(size).padStart(5)}  ${apart ? "stations apart" : "one base      "}  ${ms.toFixed(0).padStart(6)}`);
  }
}
await station.stop();
