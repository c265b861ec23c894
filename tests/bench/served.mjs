// The finished page served from this machine, and a Chromium to look at it, for the benchmarks beside this file.

import { createServer } from "node:http";
import { readFile, stat } from "node:fs/promises";
import { createRequire } from "node:module";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { brotliCompressSync } from "node:zlib";

const { chromium } = createRequire(new URL("../browser/package.json", import.meta.url))("playwright-core");
const PAGE = process.env.DUSKLINE_PAGE ?? fileURLToPath(new URL("../../target/page", import.meta.url));
const TYPES = { ".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".wasm": "application/wasm", ".svg": "image/svg+xml", ".woff2": "font/woff2" };
// Bytes that go over a slow line at once.
const CHUNK = 8192;
const TEXTS = new Set([".html", ".css", ".js", ".wasm", ".svg"]);

/**
 * Serves the page: `open()` answers with a new tab in which the program runs, `stop()` ends all. `more` are further files by
 * path. With `brotli`, files are sent compressed, with `rate` at so many bytes a second over one line, and `sent` is how
 * many bytes went out by path.
 */
export async function served({ more = {}, brotli = false, rate = Infinity } = {}) {
  const sent = {};
  let free = 0;
  /** Waits until the line has taken so many bytes. */
  function taken(bytes) {
    free = Math.max(performance.now(), free) + bytes / rate * 1000;
    return new Promise((done) => setTimeout(done, free - performance.now()));
  }
  const ready = new Map();
  /** A file's bytes as they are sent, compressed once. */
  async function bytes(path) {
    if (!ready.has(path)) {
      const file = join(PAGE, path);
      const body = more[path] ?? ((await stat(file).catch(() => null))?.isFile() ? await readFile(file) : null);
      ready.set(path, body && brotli && TEXTS.has(extname(path)) ? brotliCompressSync(body) : body);
    }
    return ready.get(path);
  }
  const server = createServer(async (request, response) => {
    let path = new URL(request.url, "http://localhost").pathname;
    if (path.endsWith("/")) path += path in more ? "" : "index.html";
    const body = await bytes(path);
    if (!body) return response.writeHead(404).end();
    sent[path] = (sent[path] ?? 0) + body.length;
    const type = path.endsWith("/") ? "text/html" : TYPES[extname(path)] ?? "application/octet-stream";
    const encoding = brotli && TEXTS.has(extname(path)) ? { "Content-Encoding": "br" } : {};
    response.writeHead(200, { "Content-Type": type, "Content-Length": body.length, ...encoding });
    if (rate === Infinity) return response.end(body);
    for (let from = 0; from < body.length; from += CHUNK) {
      const piece = body.subarray(from, from + CHUNK);
      await taken(piece.length);
      response.write(piece);
    }
    return response.end();
  });
  await new Promise((listening) => server.listen(0, "127.0.0.1", listening));
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--enable-precise-memory-info"],
  });
  const address = `http://127.0.0.1:${server.address().port}/`;
  return {
    address,
    sent,
    /** A tab that shows nothing yet, with storage and cache of its own. */
    async empty() {
      const context = await browser.newContext({ serviceWorkers: "block", viewport: { width: 1440, height: 900 } });
      return context.newPage();
    },
    async open() {
      const page = await (await browser.newContext({ serviceWorkers: "block" })).newPage();
      await page.goto(address);
      await page.locator(".frame").waitFor();
      return page;
    },
    async stop() {
      await browser.close();
      server.close();
    },
  };
}
