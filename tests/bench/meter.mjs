// What an act costs a tab: time of its main thread, gaps between frames, and long tasks.
//
// Times are of the thread's own processor time, as Chromium counts it, so that other work of the machine disturbs them
// less than it would a clock. Frame gaps are by the clock.

/** Runs in the tab from its beginning: notes every frame and every task longer than 50 ms. */
function observe() {
  const meter = { gaps: [], long: [] };
  let last = 0;
  const frame = (now) => {
    if (last) meter.gaps.push(now - last);
    last = now;
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  const observer = new PerformanceObserver((list) => meter.long.push(...list.getEntries().map((entry) => entry.duration)));
  observer.observe({ type: "longtask", buffered: true });
  meter.frames = (n) => new Promise((seen) => {
    const next = (left) => (left ? requestAnimationFrame(() => next(left - 1)) : seen());
    next(n);
  });
  meter.take = () => {
    meter.long.push(...observer.takeRecords().map((entry) => entry.duration));
    return { gaps: meter.gaps.splice(0), long: meter.long.splice(0) };
  };
  // Milliseconds from `start` until `count` is right and what `selector` finds has been the same number for 300 ms.
  meter.stands = (start, isThere, selector) => new Promise((seen) => {
    let [number, changed] = [-1, start];
    const look = () => {
      const now = performance.now();
      const found = document.querySelectorAll(selector).length;
      if (found !== number || !document.querySelector(isThere)) [number, changed] = [found, now];
      return found && now - changed > 300 ? seen(changed - start) : requestAnimationFrame(look);
    };
    look();
  });
  globalThis.meter = meter;
}

/** The number below which a share of the sorted numbers lies. */
export function quantile(numbers, share) {
  const sorted = [...numbers].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? NaN;
}

/** What the rounds of one act cost. */
export class Cost {
  rounds = [];
  gaps = [];
  long = [];

  /** A quantile of one of `all`, `script`, `layout` and `until`. */
  ms(what, share) {
    return quantile(this.rounds.map((round) => round[what]), share);
  }
}

export class Meter {
  static async on(page) {
    const meter = new Meter();
    meter.page = page;
    meter.cdp = await page.context().newCDPSession(page);
    await meter.cdp.send("Performance.enable", { timeDomain: "threadTicks" });
    return meter;
  }

  /** To be called before the tab goes anywhere. */
  static observes(page) {
    return page.addInitScript(observe);
  }

  /** The tab's metrics by name. */
  async metrics() {
    const { metrics } = await this.cdp.send("Performance.getMetrics");
    return Object.fromEntries(metrics.map(({ name, value }) => [name, value]));
  }

  frames(n) {
    return this.page.evaluate((n) => globalThis.meter.frames(n), n);
  }

  /** Does something once and adds its cost: until `does` has ended and two more frames stand. */
  async act(cost, does) {
    await this.frames(2);
    await this.page.evaluate(() => globalThis.meter.take());
    const before = await this.metrics();
    const start = performance.now();
    const until = await does();
    const passed = performance.now() - start;
    await this.frames(2);
    const after = await this.metrics();
    const { gaps, long } = await this.page.evaluate(() => globalThis.meter.take());
    const ms = (...names) => names.reduce((sum, name) => sum + (after[name] - before[name]) * 1000, 0);
    cost.rounds.push({
      all: ms("TaskDuration"),
      script: ms("ScriptDuration"),
      layout: ms("LayoutDuration", "RecalcStyleDuration"),
      until: until ?? passed,
    });
    cost.gaps.push(...gaps);
    cost.long.push(...long);
    return cost;
  }

  /** The cost of `rounds` rounds; `does` is told which. */
  async rounds(rounds, does) {
    const cost = new Cost();
    for (let round = 0; round < rounds; round += 1) await this.act(cost, () => does(round));
    return cost;
  }
}
