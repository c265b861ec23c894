// The finished page served from this machine, and a Chromium to look at it, for the benchmarks beside this file.

import { createServer } from "node:http";
import { readFile, stat } from "node:fs/promises";
import { createRequire } from "node:module";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";

const { chromium } = createRequire(new URL("../browser/package.json", import.meta.url))("playwright-core");
const PAGE = process.env.DUSKLINE_PAGE ?? fileURLToPath(new URL("../../target/page", import.meta.url));
const TYPES = { ".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".wasm": "application/wasm", ".svg": "image/svg+xml", ".woff2": "font/woff2" };

/** Serves the page: `open()` answers with a new tab in which the program runs, `stop()` ends all. */
export async function served() {
  const server = createServer(async (request, response) => {
    let file = join(PAGE, new URL(request.url, "http://localhost").pathname);
    if (file.endsWith("/")) file += "index.html";
    if (!(await stat(file).catch(() => null))?.isFile()) return response.writeHead(404).end();
    response.writeHead(200, { "Content-Type": TYPES[extname(file)] ?? "application/octet-stream" }).end(await readFile(file));
  });
  await new Promise((listening) => server.listen(0, "127.0.0.1", listening));
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"],
  });
  return {
    async open() {
      const page = await (await browser.newContext({ serviceWorkers: "block" })).newPage();
      await page.goto(`http://127.0.0.1:${server.address().port}/`);
      await page.locator(".frame").waitFor();
      return page;
    },
    async stop() {
      await browser.close();
      server.close();
    },
  };
}
