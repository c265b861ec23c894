// The browser tests' hands and eyes: starts Chromium and a file server, opens the page, and speaks in a user's verbs.
//
// `cargo dev test` names the browser in CHROMIUM and the finished page in DUSKLINE_PAGE. Every *.test.mjs file beside this
// one is run. A page that writes an error to the console, throws, or fails to fetch something fails its test when it closes.

import { createReadStream, readFileSync } from "node:fs";
import { cp, mkdtemp, readFile, rm, stat, writeFile } from "node:fs/promises";
import { createServer } from "node:http";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import assert from "node:assert/strict";
import { chromium } from "playwright-core";

const PAGE = process.env.DUSKLINE_PAGE ?? fileURLToPath(new URL("../../target/page", import.meta.url));
const FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync",
];
const TYPES = {
  ".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
  ".wasm": "application/wasm", ".json": "application/json", ".svg": "image/svg+xml", ".woff2": "font/woff2",
};
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Serves `folder` under `/prefix/` on a free port, so that only relative addresses work. */
async function serve(folder, prefix) {
  const server = createServer(async (request, response) => {
    const path = decodeURIComponent(new URL(request.url, "http://localhost").pathname);
    let file = path.startsWith(prefix) && !path.split("/").includes("..") ? join(folder, path.slice(prefix.length)) : null;
    if (file && path.endsWith("/")) file = join(file, "index.html");
    if (!file || !(await stat(file).catch(() => null))?.isFile()) return response.writeHead(404).end();
    response.writeHead(200, { "Content-Type": TYPES[extname(file)] ?? "application/octet-stream", "Cache-Control": "no-cache" });
    createReadStream(file).pipe(response);
  });
  await new Promise((listening) => server.listen(0, "127.0.0.1", listening));
  return {
    address: `http://127.0.0.1:${server.address().port}${prefix}`,
    stop: () => new Promise((stopped) => { server.close(stopped); server.closeAllConnections(); }),
  };
}

/** Asks again and again until `check` no longer throws; after ten seconds its last error stands. */
export async function expect(check) {
  const end = Date.now() + 10_000;
  for (;;) {
    try {
      return await check();
    } catch (error) {
      if (Date.now() > end) throw error;
      await new Promise((later) => setTimeout(later, 40));
    }
  }
}

/** A running browser and a served page. Make one in `before`, `stop()` it in `after`. */
export class Station {
  /** Starts both. With `copy`, the page is served from a copy that the test may change. */
  static async start({ copy = false } = {}) {
    const station = new Station();
    station.folder = PAGE;
    if (copy) {
      station.scratch = await mkdtemp(join(tmpdir(), "duskline-page-"));
      station.folder = join(station.scratch, "page");
      await cp(PAGE, station.folder, { recursive: true });
    }
    station.server = await serve(station.folder, "/deep/inside/");
    station.browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: FLAGS });
    return station;
  }

  get address() {
    return this.server.address;
  }

  /** A visitor with empty storage. `size` in CSS pixels; `offline: true` lets the page's service worker in. */
  async visitor({ size = { width: 1440, height: 900 }, touch = false, theme = "light", offline = false } = {}) {
    const context = await this.browser.newContext({
      viewport: size, hasTouch: touch, colorScheme: theme, reducedMotion: "reduce",
      serviceWorkers: offline ? "allow" : "block", permissions: ["clipboard-read", "clipboard-write"],
    });
    context.setDefaultTimeout(10_000);
    return new Visitor(this, context);
  }

  /** Changes one file of the copy: `edit` takes its text and gives the new one. */
  async change(file, edit) {
    assert.ok(this.scratch, "only a copy may be changed");
    const path = join(this.folder, file);
    await writeFile(path, edit(await readFile(path, "utf8")));
  }

  /** Takes the server away, as if the network were gone. */
  async cutNetwork() {
    await this.server.stop();
  }

  async stop() {
    await this.browser?.close();
    await this.server?.stop().catch(() => {});
    if (this.scratch) await rm(this.scratch, { recursive: true });
  }
}

/** One visitor: their tabs share storage and clipboard. */
export class Visitor {
  constructor(station, context) {
    this.station = station;
    this.context = context;
    this.faults = [];
    context.on("page", (page) => this.#watch(page));
  }

  #watch(page) {
    page.on("console", (message) => message.type() === "error" && this.faults.push(`console: ${message.text()}`));
    page.on("pageerror", (error) => this.faults.push(`thrown: ${error.message}`));
    // What a tab gives up because it is reloaded, a worker's script on its way for one, is no fault.
    const isGivenUp = (request) => request.failure()?.errorText === "net::ERR_ABORTED";
    page.on("requestfailed", (request) => isGivenUp(request) || this.faults.push(`not fetched: ${request.url()}`));
  }

  /** Opens the page in a new tab and waits until the whole program runs, or its first part alone; `fragment` with its `#`. */
  async open(fragment = "", { whole = true } = {}) {
    const page = await this.context.newPage();
    await page.addInitScript(() => addEventListener("duskline-started", () => { document.documentElement.dataset.started = "yes"; }));
    await page.goto(this.station.address + fragment);
    await this.started(page, { whole });
    return page;
  }

  /** Waits until the program in this tab runs, after a reload for one. */
  async started(page, { whole = true } = {}) {
    await page.locator("html[data-started]").waitFor({ timeout: 15_000 });
    if (whole) await page.locator(".frame.whole").waitFor({ timeout: 15_000 });
  }

  /** Accepts the faults so far that match, where a test provokes them; fails if there are none. */
  expectFaults(pattern) {
    const rest = this.faults.filter((fault) => !pattern.test(fault));
    assert.notEqual(rest.length, this.faults.length, `expected a fault like ${pattern}`);
    this.faults = rest;
  }

  /** Closes all tabs, and fails where one of them had a fault. */
  async leave() {
    await this.context.close();
    assert.deepEqual(this.faults, [], "the page had faults");
  }
}

/** Fails, with a readable list, where axe finds anything against accessibility in what the tab shows now. */
export async function assertAccessible(page) {
  // The page's policy lets no script element of ours in; what a debugger evaluates is not the page's.
  await page.evaluate(AXE);
  const found = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
  const lines = found.violations.flatMap((rule) => rule.nodes.map((node) => `${rule.id}: ${rule.help} — ${node.target.join(" ")}`));
  assert.deepEqual(lines, []);
}
