// The first board: a cold load at 10 Mbit/s on a processor slowed to a quarter, from the address to a board that can be used.

import { Meter, quantile } from "./meter.mjs";
import { served } from "./served.mjs";

const RATE = 10_000_000 / 8;

/**
 * Medians of `rounds` cold loads: milliseconds by the clock and of the slowed thread's own time, which other work of the
 * machine disturbs less; bytes after Brotli.
 */
export async function firstBoard(rounds) {
  const [times, threads, firstBytes, allBytes] = [[], [], [], []];
  for (let round = 0; round < rounds; round += 1) {
    const station = await served({ brotli: true, rate: RATE });
    const page = await station.empty();
    const meter = await Meter.on(page);
    await meter.cdp.send("Emulation.setCPUThrottlingRate", { rate: 4 });
    await page.addInitScript(() => {
      const look = () => {
        if (document.querySelector(".frame .paper")?.getBoundingClientRect().width > 0) {
          // The frame that shows it has been drawn when the next one begins.
          requestAnimationFrame(() => { globalThis.firstBoard = performance.now(); });
        } else {
          requestAnimationFrame(look);
        }
      };
      requestAnimationFrame(look);
    });
    await page.goto(station.address, { waitUntil: "commit" });
    times.push(await (await page.waitForFunction(() => globalThis.firstBoard, null, { timeout: 120_000 })).jsonValue());
    threads.push((await meter.metrics()).TaskDuration * 1000);
    firstBytes.push(total(station.sent));
    // What is fetched afterwards without being asked for.
    await page.waitForTimeout(3000);
    allBytes.push(total(station.sent));
    await station.stop();
  }
  return { ms: quantile(times, 0.5), thread: quantile(threads, 0.5), first: quantile(firstBytes, 0.5), all: quantile(allBytes, 0.5) };
}

const total = (sent) => Object.values(sent).reduce((sum, bytes) => sum + bytes, 0);
