// Pictures in Chromium: the same as another program draws them, with the same font; and moving pictures at single times.
//
// A test of tests/picture.rs lays the pictures down, each as SVG and as resvg draws it.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));
const FONT = readFileSync(join(ROOT, "assets/fonts/public-sans-latin.woff2")).toString("base64");
/** How far apart the two may be: over the whole, and in any field of 40 by 40 pixels, of 255. Letters have soft edges. */
const WHOLE = 1.5;
const FIELD = 18;
/** How long a day takes in a moving picture, in seconds. */
const DAY = 60;

let browser, folder;
before(async () => {
  folder = mkdtempSync(join(tmpdir(), "duskline-pictures-"));
  execFileSync("cargo", ["test", "--quiet", "--test", "picture", "pictures_for_a_browser_are_laid_down"], {
    cwd: ROOT, env: { ...process.env, DUSKLINE_PICTURES: folder }, stdio: "pipe",
  });
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"] });
});
after(async () => {
  await browser?.close();
  if (folder) rmSync(folder, { recursive: true });
});

/** A page that shows nothing but a picture, with the page's font. */
async function shown(name, reducedMotion = "no-preference") {
  const svg = readFileSync(join(folder, `${name}.svg`), "utf8");
  const [wide, high] = ["width", "height"].map((side) => Number(svg.match(new RegExp(`${side}="(\\d+)"`))[1]));
  const page = await browser.newPage({ viewport: { width: wide, height: high }, reducedMotion });
  await page.setContent(`<!doctype html><style>@font-face { font-family: "Public Sans"; font-weight: 100 900;
    src: url(data:font/woff2;base64,${FONT}) } body { margin: 0 } body > svg { display: block }
    /* The other program knows no figures of one width. */
    svg { font-variant-numeric: normal !important } svg * { font-variant-numeric: inherit !important }</style>${svg}`);
  await page.evaluate(async () => {
    await Promise.all([400, 500, 600, 700].map((weight) => document.fonts.load(`${weight} 16px "Public Sans"`)));
    document.querySelector("svg").pauseAnimations();
    document.querySelector("svg").setCurrentTime(0);
  });
  return page;
}

/** How far apart two images are: over the whole, and where most. */
function apart(page, images) {
  return page.evaluate(async (images) => {
    const side = 40;
    const [a, b] = await Promise.all(images.map(async (data) => {
      const image = await createImageBitmap(await (await fetch(`data:image/png;base64,${data}`)).blob());
      const canvas = new OffscreenCanvas(image.width, image.height);
      canvas.getContext("2d").drawImage(image, 0, 0);
      return canvas.getContext("2d").getImageData(0, 0, image.width, image.height);
    }));
    if (a.width !== b.width || a.height !== b.height) return { sizes: [a.width, a.height, b.width, b.height] };
    const across = Math.ceil(a.width / side);
    const fields = new Float64Array(across * Math.ceil(a.height / side));
    let all = 0;
    for (let at = 0; at < a.data.length; at += 4) {
      const [x, y] = [(at / 4) % a.width, Math.floor(at / 4 / a.width)];
      const off = [0, 1, 2].reduce((sum, by) => sum + Math.abs(a.data[at + by] - b.data[at + by]), 0) / 3;
      all += off;
      fields[Math.floor(y / side) * across + Math.floor(x / side)] += off / side / side;
    }
    return { whole: all / (a.width * a.height), field: Math.max(...fields) };
  }, images);
}

for (const name of ["board", "board-dark", "board-small", "day", "explained", "site", "film"]) {
  test(`the ${name} looks as another program draws it`, async (t) => {
    const page = await shown(name);
    const own = (await page.screenshot()).toString("base64");
    const other = readFileSync(join(folder, `${name}.png`)).toString("base64");
    const off = await apart(page, [own, other]);
    t.diagnostic(JSON.stringify(off));
    assert.ok(off.whole < WHOLE && off.field < FIELD, JSON.stringify(off));
    await page.close();
  });
}

/** What is to be read on cards at a time of a moving picture, or in one that stands. */
function read(page, seconds) {
  return page.evaluate((seconds) => {
    document.querySelector("svg").setCurrentTime(seconds);
    const texts = [...document.querySelectorAll(".card text")];
    const seen = texts.filter((text) => getComputedStyle(text).visibility === "visible");
    return seen.map((text) => text.textContent);
  }, seconds);
}

test("a moving picture shows at noon what the board does at noon, and begins again", async () => {
  const [film, board] = [await shown("film"), await shown("board")];
  const expected = (await read(board, 0)).sort();
  assert.deepEqual((await read(film, DAY / 2)).sort(), expected);
  const first = await read(film, 0);
  assert.notDeepEqual(first.sort(), expected);
  assert.deepEqual((await read(film, DAY * 1.5)).sort(), expected);
  const level = await film.evaluate(() => document.querySelector(".moves > .level").getBBox().width);
  const still = await board.evaluate(() => document.querySelector(".level").getBBox().width);
  assert.ok(Math.abs(level - still) < 0.01, `${level} ${still}`);
  await film.close();
  await board.close();
});

test("who asks for no motion sees the day's beginning, whatever the time", async () => {
  const page = await shown("film", "reduce");
  const first = await page.screenshot();
  await read(page, DAY * 0.4);
  assert.ok(first.equals(await page.screenshot()));
  assert.ok(await page.getByText("00:00").last().isVisible());
  await page.close();
});
