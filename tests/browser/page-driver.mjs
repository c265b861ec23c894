// One tab as its user sees it: parts, ports, wires, time and details, found by what they say and worked by mouse, finger
// or key. Places are CSS pixels of the window. Every verb waits until the page shows what it did.

import assert from "node:assert/strict";
import { assertAccessible, expect } from "./harness.mjs";

/** Matches a part's spoken label: its name, then the type, the state or nothing. */
const called = (name) => new RegExp(`^${name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")}(,|:|$)`);
const middle = (box) => ({ x: box.x + box.width / 2, y: box.y + box.height / 2 });

/** The six parts of the dusk lamp with shares of the board's width and height at which they stand well apart. */
export const DUSK_PARTS = [
  ["Sun panel", [0.17, 0.2]], ["Tap", [0.5, 0.2]], ["Battery", [0.83, 0.2]],
  ["Heater", [0.17, 0.7]], ["Relay", [0.5, 0.7]], ["Lamp", [0.83, 0.7]],
];
/** Its wires. */
export const DUSK_WIRES = [
  ["Sun panel", "out", "Tap", "in"], ["Tap", "rest", "Battery", "in"],
  ["Battery", "out", "Heater", "in"], ["Heater", "loop", "Relay", "feed"], ["Relay", "out", "Lamp", "in"],
  ["Tap", "tap", "Relay", "coil"],
];

/** A visitor with a phone and an example, with a tab of the window *Build* open. */
export async function buildingOnPhone(station, theme, example, tab) {
  const visitor = await station.visitor({ size: { width: 390, height: 844 }, touch: true, theme });
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  await driver.button("Menu").tap();
  await driver.button("Build…").tap();
  await driver.dialog.getByRole("tab", { name: tab, exact: true }).tap();
  return { visitor, driver };
}

export class PageDriver {
  constructor(page) {
    this.page = page;
    this.paper = page.locator(".paper");
    this.shelf = page.getByRole("complementary", { name: "Shelf" });
    this.details = page.getByRole("complementary", { name: "Details and problems" });
    this.dialog = page.locator("dialog[open]");
  }

  /** The card of the part called `name`, its own or its type's. */
  card(name) {
    return this.paper.getByRole("group", { name: called(name) });
  }

  port(name, port) {
    return this.card(name).locator(`[data-port="${port}"]`);
  }

  /** Where the port is in the window. */
  async portAt(name, port) {
    return middle(await this.port(name, port).locator(".port-hit").boundingBox());
  }

  /** Where a part's card is in the window. One that is drawn anew at that moment, since its verdict comes, has no box. */
  async groundOf(name) {
    return expect(async () => {
      const box = await this.card(name).locator("rect.ground").boundingBox();
      assert.ok(box, `${name} stands nowhere`);
      return box;
    });
  }

  /** The middle of a part's card in the window, whatever of the card is drawn. */
  async centreOf(name) {
    return this.card(name).evaluate((card) => {
      const { x: left, y: top } = card.querySelector("rect.ground");
      const { x, y } = new DOMPoint(left.baseVal.value + 88, top.baseVal.value + 32).matrixTransform(card.getScreenCTM());
      return { x, y };
    });
  }

  /** How large the board shows: 1 is life size. */
  async scale() {
    return this.paper.locator("g.card").first().evaluate((card) => card.getScreenCTM().a);
  }

  /** A place of the window by shares of the board's width and height. */
  async at([across, down]) {
    const box = await this.paper.boundingBox();
    return { x: box.x + box.width * across, y: box.y + box.height * down };
  }

  /** How many parts and wires the board shows. */
  async counts() {
    return [await this.paper.locator("g.card").count(), await this.paper.locator("g.wire-group").count()];
  }

  async hasCounts(parts, wires) {
    await expect(async () => assert.deepEqual(await this.counts(), [parts, wires]));
  }

  kind(label) {
    return this.shelf.getByRole("button", { name: label, exact: true });
  }

  /** Drags a part type from the shelf to a place of the board. */
  async placePart(label, share) {
    const [parts, wires] = await this.counts();
    await this.kind(label).scrollIntoViewIfNeeded();
    const from = middle(await this.kind(label).boundingBox());
    const to = await this.at(share);
    await this.drag(from, to);
    await this.hasCounts(parts + 1, wires);
    await this.card(label).waitFor();
  }

  async drag(from, to) {
    const { mouse } = this.page;
    await mouse.move(from.x, from.y);
    await mouse.down();
    await mouse.move((from.x + to.x) / 2, (from.y + to.y) / 2, { steps: 4 });
    await mouse.move(to.x, to.y, { steps: 4 });
    await mouse.up();
  }

  /** Draws a wire by mouse: `drag` from port to port, or `click` one and then the other. */
  async wire(from, out, to, into, how = "drag") {
    const [parts, wires] = await this.counts();
    const [a, b] = [await this.portAt(from, out), await this.portAt(to, into)];
    if (how === "drag") {
      await this.drag(a, b);
    } else {
      await this.page.mouse.click(a.x, a.y);
      await this.page.mouse.click(b.x, b.y);
    }
    await this.hasCounts(parts, wires + 1);
    await this.hasWire(from, out, to, into);
  }

  /** The wire that leaves this port. */
  wireFrom(from, out) {
    const said = this.page.locator(`.wire-hit[aria-label^=${JSON.stringify(`Wire from ${from} ${out} to `)}]`);
    return this.paper.locator("g.wire-group").filter({ has: said });
  }

  async hasWire(from, out, to, into) {
    const said = () => this.wireFrom(from, out).locator(".wire-hit").getAttribute("aria-label");
    await expect(async () => assert.ok((await said()).startsWith(`Wire from ${from} ${out} to ${to} ${into}: `), await said()));
  }

  /** The label of that wire; labels lie above all wires, and on no card. */
  async labelOf(from, out) {
    const id = await this.wireFrom(from, out).getAttribute("data-wire");
    return this.paper.locator(`.wire-label[data-wire="${id}"]`);
  }

  /** What stands on the wire's label, or where that has no room what the wire says, once it is `expected`. */
  async readsOnWire(from, out, expected) {
    const label = (await this.labelOf(from, out)).locator("text");
    const said = async () => {
      if (await label.count()) return label.textContent();
      const wire = await this.wireFrom(from, out).locator(".wire-hit").getAttribute("aria-label");
      return wire.replace(/^.*: (\S+) u is taken of (\S+) u offered.*$/, "$1 / $2");
    };
    await expect(async () => assert.equal(await said(), expected));
  }

  /** The station log and, of its day chart, the cursor, the field it goes over, and the lane of the part called `name`. */
  get log() {
    return this.page.getByRole("region", { name: "Station log" });
  }

  /** The tab of a page of the log. */
  logTab(name) {
    return this.log.getByRole("tab", { name, exact: true });
  }

  /** Turns the log to a page. */
  async openLogPage(name) {
    await this.logTab(name).click();
    await expect(async () => assert.equal(await this.logTab(name).getAttribute("aria-selected"), "true"));
  }

  get cursor() {
    return this.log.getByRole("slider", { name: "Cursor" });
  }

  lane(name) {
    return this.log.locator(".lane-row", { has: this.page.getByRole("button", { name, exact: true }) });
  }

  /** Drags the cursor to a share of the chart's width. */
  async dragCursor(share) {
    const field = await this.log.locator(".cursor-field").boundingBox();
    const knob = await this.cursor.boundingBox();
    const y = field.y + 12;
    await this.drag({ x: knob.x + 1, y }, { x: field.x + field.width * share, y });
  }

  /** What the cursor's flag says, once it is like `pattern`. */
  async cursorSays(pattern) {
    await expect(async () => assert.match(await this.cursor.getAttribute("aria-valuetext"), pattern));
  }

  /** The moment shown, in milliseconds since midnight of day 1. */
  async moment() {
    return Number(await this.cursor.getAttribute("aria-valuenow"));
  }

  /** The bars of a lane's path of this class, as pairs [from, to] in thousandths of the chart's width. */
  async bars(name, kind) {
    const d = (await this.lane(name).locator(`path.${kind}`).getAttribute("d")) ?? "";
    return [...d.matchAll(/M([\d.]+) [\d.]+h([\d.]+)/g)].map(([, x, wide]) => [Number(x), Number(x) + Number(wide)]);
  }

  /** Chooses a wire by a click on its label, as a reader would. */
  async chooseWire(from, out) {
    const at = middle(await (await this.labelOf(from, out)).boundingBox());
    await this.page.mouse.click(at.x, at.y);
    await this.details.getByRole("heading", { name: "Wire", exact: true }).waitFor();
  }

  /** Chooses a part by a click on its card. */
  async choose(name) {
    const box = await this.groundOf(name);
    await this.page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    await this.details.getByRole("heading", { name, exact: true }).waitFor();
  }

  /** What the details say of now, once it is `expected`. */
  async readsInDetails(expected) {
    await expect(async () => assert.equal(await this.details.locator(".now").textContent(), expected));
  }

  /** Chooses in the details, by the entry's label. */
  async set(label, option) {
    await this.details.getByLabel(label, { exact: true }).selectOption(option);
  }

  /** Goes to an hour of the day by its button: Midnight, Dawn, Noon or Dusk. */
  async setTime(hour) {
    await this.page.getByRole("group", { name: "Moment shown" }).getByRole("button", { name: hour }).click();
  }

  /** The dusk lamp from an empty board, by mouse. */
  async buildDuskLamp() {
    for (const [label, share] of DUSK_PARTS) await this.placePart(label, share);
    for (const [i, wire] of DUSK_WIRES.entries()) await this.wire(...wire, i % 2 ? "click" : "drag");
    await this.choose("Relay");
    await this.set("Contact", "break");
  }

  /** All that a reader can read of the plan on the board: parts with states and places, wires with numbers. */
  async read() {
    return this.paper.evaluate((paper) => ({
      parts: [...paper.querySelectorAll("g.card")].map((card) => {
        const said = card.getAttribute("aria-label").replace(/, chosen$/, "").replace(/, duties (kept|broken)/, "");
        const { x, y } = card.querySelector("rect.ground");
        return `${said} at ${x.baseVal.value} ${y.baseVal.value}`;
      }).sort(),
      wires: [...paper.querySelectorAll(".wire-hit")].map((wire) => wire.getAttribute("aria-label")).sort(),
    }));
  }

  /** Waits until the board reads exactly `expected`. */
  async reads(expected) {
    await expect(async () => assert.deepEqual(await this.read(), expected));
  }

  button(name) {
    return this.page.getByRole("button", { name, exact: true });
  }

  /** Takes steps back by the button until there is none, and answers how many there were. */
  async undoAll() {
    return this.#all("Undo");
  }

  async redoAll() {
    return this.#all("Redo");
  }

  async #all(name) {
    let steps = 0;
    while (await this.button(name).isEnabled()) {
      await this.button(name).click();
      steps += 1;
      assert.ok(steps < 500, `${name} has no end`);
    }
    return steps;
  }

  /** Presses “Copy link” and answers what is on the clipboard. */
  async copyLink() {
    await this.page.bringToFront();
    await this.button("Copy link").click();
    await this.says(/^Link copied, \d+ characters/);
    return this.page.evaluate(() => navigator.clipboard.readText());
  }

  /** Waits until the page's polite line says so. */
  async says(pattern) {
    await this.page.locator(".notice", { hasText: pattern }).waitFor();
  }

  /** Opens a plan from a file. */
  async openFile(plan) {
    const buffer = Buffer.from(JSON.stringify(plan));
    await this.page.locator("input[type=file]").first().setInputFiles({ name: "plan.json", mimeType: "application/json", buffer });
  }

  /** Opens an example that the empty board offers. */
  async openExample(title) {
    await this.page.getByRole("region", { name: "An empty board" }).getByRole("button", { name: title }).click();
    await this.paper.locator("g.card").first().waitFor();
  }

  /** Begins another plan, from the list of those that are kept. */
  async newPlan() {
    await this.button("Plans…").click();
    await this.dialog.getByRole("button", { name: "New plan" }).click();
    await this.hasCounts(0, 0);
  }

  /** Opens a kept plan by its title. */
  async openKept(title) {
    await this.button("Plans…").click();
    const opens = this.dialog.getByRole("button", { name: `Open ${title}`, exact: true });
    for (const tray of [/^Your plans/, /^Received/, /^Examples/]) {
      await this.dialog.getByRole("button", { name: tray }).click();
      if (await opens.count()) break;
    }
    await opens.click();
    await this.dialog.waitFor({ state: "hidden" });
  }

  /** The key of the plan that this tab has open. */
  async openKey() {
    return this.page.evaluate(() => Object.entries(sessionStorage).find(([name]) => /^duskline:.*:open$/.test(name))[1]);
  }

  /** The records of one store of the browser's database, by key; each begins with a line of its own. */
  async records(store) {
    return this.page.evaluate(async (store) => {
      const asked = (request) => new Promise((done, failed) => { request.onsuccess = () => done(request.result); request.onerror = () => failed(request.error); });
      const { name } = (await indexedDB.databases()).find(({ name }) => /^duskline:/.test(name));
      const database = await asked(indexedDB.open(name));
      const texts = database.transaction(store).objectStore(store);
      const [keys, values] = await Promise.all([asked(texts.getAllKeys()), asked(texts.getAll())]);
      database.close();
      return Object.fromEntries(keys.map((key, at) => [key, values[at]]));
    }, store);
  }

  /** Does something to a record behind the page's back: its text, or null to take it away. */
  async damage(store, key, text) {
    await this.page.evaluate(async ([store, key, text]) => {
      const asked = (request) => new Promise((done, failed) => { request.onsuccess = () => done(request.result); request.onerror = () => failed(request.error); });
      const { name } = (await indexedDB.databases()).find(({ name }) => /^duskline:/.test(name));
      const database = await asked(indexedDB.open(name));
      const texts = database.transaction(store, "readwrite").objectStore(store);
      await asked(text === null ? texts.delete(key) : texts.put(text, key));
      database.close();
    }, [store, key, text]);
  }

  /** The plans that are kept, by key. */
  async kept() {
    const records = Object.entries(await this.records("plans"));
    return Object.fromEntries(records.map(([key, record]) => [key, JSON.parse(record.slice(record.indexOf("\n") + 1))]));
  }

  /** Waits until the browser keeps the plan as it is: edits are gathered for half a second. */
  async isKept() {
    const title = await this.page.getByRole("textbox", { name: "Title of the plan" }).inputValue();
    const counts = await this.counts();
    await expect(async () => {
      const plan = (await this.kept())[await this.openKey()];
      assert.deepEqual([plan.title ?? "", [plan.parts.length, plan.wires.length]], [title, counts]);
    });
  }

  async setTitle(title) {
    const field = this.page.getByRole("textbox", { name: "Title of the plan" });
    await field.fill(title);
    await field.press("Enter");
    await expect(async () => assert.match(await this.page.title(), new RegExp(`^${title}`)));
  }

  /** Puts the keyboard on the board without choosing anything. */
  async clickPaper() {
    const { x, y } = await this.at([0.5, 0.97]);
    await this.page.mouse.click(x, y);
  }

  /** Fails where the dialog that is open is wider than a phone, where one of these in it has a side of less than `least`
   * pixels, or where axe finds anything. */
  async dialogFitsPhone(targets = [], least = 44) {
    for (const target of targets) {
      const { width, height } = await target.boundingBox();
      assert.ok(width >= least && height >= least, `${width} by ${height}`);
    }
    assert.equal(await this.dialog.evaluate((dialog) => dialog.scrollWidth - dialog.clientWidth), 0);
    await assertAccessible(this.page);
  }

  /** Whether it lies within the window, without anything scrolled. */
  async isInSight(locator) {
    const box = await locator.boundingBox();
    const { width, height } = this.page.viewportSize();
    return !!box && box.x >= 0 && box.y >= 0 && box.x + box.width <= width && box.y + box.height <= height;
  }

  /** Reads the heading and the text of the dialog that is open, and closes it. */
  async readDialog() {
    await this.dialog.waitFor();
    const said = [await this.dialog.getByRole("heading").textContent(), await this.dialog.textContent()];
    await this.dialog.getByRole("button", { name: "Close", exact: true }).click();
    await this.dialog.waitFor({ state: "hidden" });
    return said;
  }
}
