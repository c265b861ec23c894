// One tab with the finished page in it, worked by mouse and keyboard through roles, names and the board's few classes.

import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { CARD } from "./grid.mjs";

export class BoardTab {
  board = ".paper";
  card = "g.card[data-part]";
  notPaper = "[data-part], [data-wire], [data-port]";

  constructor(page, meter) {
    this.page = page;
    this.meter = meter;
    this.details = page.getByRole("complementary", { name: "Details and problems" });
  }

  /** Chooses a file; answers the milliseconds until all cards in view stand. */
  async open(plan) {
    const folder = await mkdtemp(join(tmpdir(), "duskline-bench-"));
    const path = join(folder, "plan.json");
    await writeFile(path, JSON.stringify(plan));
    const { page } = this;
    await page.getByRole("button", { name: "File", exact: true }).click();
    const chooser = page.waitForEvent("filechooser");
    await page.getByRole("button", { name: "Open a file…" }).click();
    const chosen = await chooser;
    const start = await page.evaluate(() => performance.now());
    const stands = page.evaluate(([start, n]) => globalThis.meter.stands(start, `.parts[data-count="${n}"]`, "g.card"), [start, plan.parts.length]);
    await chosen.setFiles(path);
    const ms = await stands;
    await rm(folder, { recursive: true });
    return ms;
  }

  async fit() {
    await this.paperKey("f");
    await this.meter.frames(5);
  }

  /** A key for the board, not for a field that may be in focus. */
  async paperKey(key) {
    await this.page.evaluate(() => document.activeElement?.blur());
    await this.page.keyboard.press(key);
  }

  /** Turns the wheel over the board's middle until cards are as large as they are in the plan. */
  async lifeSize() {
    const at = await middleOf(this);
    for (let turn = 0; turn < 60; turn += 1) {
      const share = await this.page.locator(this.card).first().evaluate((card, wide) => card.querySelector("rect.ground").getBoundingClientRect().width / wide, CARD.width);
      if (share > 0.9 && share < 1.12) return;
      await this.page.mouse.move(at.x, at.y);
      await this.page.mouse.wheel(0, share < 1 ? -60 : 60);
      await this.meter.frames(3);
    }
    throw new Error("the wheel doesn't lead to life size");
  }

  /** Fills a field of the details; `enter` then is the edit. */
  async fill(label, text) {
    const field = this.details.getByLabel(label, { exact: true });
    await field.fill(text);
    return () => this.page.keyboard.press("Enter");
  }

  /** What the details say of the chosen part now. */
  says() {
    return this.page.evaluate(() => document.querySelector(".now")?.textContent ?? "");
  }

  /** Waits in the tab, from frame to frame, until the details say something else than `before`. */
  annotated(before) {
    return this.page.waitForFunction((before) => {
      const now = document.querySelector(".now")?.textContent;
      return now !== undefined && now !== before;
    }, before, { polling: "raf", timeout: 60_000 });
  }

  async goToDay(day) {
    const field = this.page.getByRole("spinbutton", { name: "Day" });
    await field.fill(String(day));
    await field.press("Enter");
    const cursor = this.page.getByRole("slider", { name: "Cursor" });
    await this.page.waitForFunction(([cursor, day]) => cursor.getAttribute("aria-valuetext").includes(`Day ${day},`), [await cursor.elementHandle(), day], { timeout: 120_000 });
  }

  async goTo(hour) {
    await this.page.getByRole("group", { name: "Moment shown" }).getByRole("button", { name: hour }).click();
  }
}

/** The middle of the tab's board. */
export async function middleOf(tab) {
  const box = await tab.page.locator(tab.board).first().boundingBox();
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/** The card nearest to the board's middle that a press there would meet, with its place; its text begins with `named`. */
export async function cardInView(tab, named = "") {
  const at = await middleOf(tab);
  const found = await tab.page.evaluate(([card, at, named]) => {
    const near = [...document.querySelectorAll(card)].flatMap((element) => {
      const said = element.getAttribute("aria-label") ?? element.textContent;
      const box = (element.querySelector("rect.ground") ?? element).getBoundingClientRect();
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      return said.startsWith(named) ? [{ element, x, y, far: Math.hypot(x - at.x, y - at.y) }] : [];
    }).sort((a, b) => a.far - b.far);
    const met = near.slice(0, 200).find(({ element, x, y }) => document.elementFromPoint(x, y)?.closest(card) === element);
    return met && { x: met.x, y: met.y, id: met.element.dataset.part ?? met.element.dataset.id };
  }, [tab.card, at, named]);
  if (!found) throw new Error(`no card ${named} can be met`);
  return found;
}

/** A place of the board with nothing on it, near its middle. */
export async function emptyPlace(tab) {
  const box = await tab.page.locator(tab.board).first().boundingBox();
  const found = await tab.page.evaluate(([box, board, taken]) => {
    const places = [];
    for (let i = 1; i < 60; i += 1) for (let j = 1; j < 60; j += 1) places.push([box.x + box.width * i / 60, box.y + box.height * j / 60]);
    const far = ([x, y]) => Math.hypot(x - box.x - box.width / 2, y - box.y - box.height / 2);
    places.sort((a, b) => far(a) - far(b));
    return places.find(([x, y]) => {
      const met = document.elementFromPoint(x, y);
      return met?.closest(board) && !met.closest(taken);
    });
  }, [box, tab.board, tab.notPaper]);
  if (!found) throw new Error("the board has no empty place");
  return { x: found[0], y: found[1] };
}
