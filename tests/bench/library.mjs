// The library's own page: bundled here, then worked by the same acts as Duskline's where it has them.

import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import { CARD } from "./grid.mjs";

/** The files of its page, to be served. */
export async function bundled() {
  const { build } = createRequire(import.meta.url)("esbuild");
  const made = await build({
    entryPoints: [fileURLToPath(new URL("library/app.jsx", import.meta.url))],
    bundle: true, minify: true, write: false, format: "esm", jsx: "automatic", outdir: "out",
    define: { "process.env.NODE_ENV": '"production"' },
  });
  const text = (end) => made.outputFiles.find((file) => file.path.endsWith(end)).contents;
  const html = '<!doctype html><html lang="en"><title>Library</title><link rel="stylesheet" href="app.css">'
    + '<style>html, body, #root { height: 100%; margin: 0 }</style><div id="root"></div><script type="module" src="app.js"></script></html>';
  return { "/library/": Buffer.from(html), "/library/app.js": Buffer.from(text(".js")), "/library/app.css": Buffer.from(text(".css")) };
}

/** One tab with the library in it. */
export class LibraryTab {
  board = ".react-flow";
  card = ".react-flow__node";
  notPaper = ".react-flow__node, .react-flow__edge, .react-flow__edge-textwrapper";

  constructor(page, meter) {
    this.page = page;
    this.meter = meter;
  }

  async open(plan) {
    const nodes = plan.parts.map((part) => ({
      id: part.id, data: { label: part.name }, position: { x: part.at[0], y: part.at[1] }, style: CARD,
    }));
    const edges = plan.wires.map((wire) => ({
      id: wire.id, source: wire.from.split(".")[0], target: wire.to.split(".")[0], label: "5 / 20", type: "smoothstep",
    }));
    await this.page.waitForFunction(() => globalThis.library);
    return this.page.evaluate(([nodes, edges]) => {
      const start = performance.now();
      globalThis.library.open(nodes, edges);
      return globalThis.meter.stands(start, ".react-flow__edge", ".react-flow__node, .react-flow__edge");
    }, [nodes, edges]);
  }

  async fit() {
    await this.page.evaluate(() => globalThis.library.fit());
    await this.meter.frames(5);
  }

  async lifeSize() {
    await this.page.evaluate(() => globalThis.library.lifeSize());
    await this.meter.frames(5);
  }

  /** Names the node through the program's own state, as an editor built on it would. */
  async rename(id, name) {
    await this.page.evaluate(([id, name]) => globalThis.library.rename(id, name), [id, name]);
  }
}
