// The same verbs by keyboard alone: no pointer, and no focus but what Tab, arrows and Enter bring.

import assert from "node:assert/strict";
import { expect } from "./harness.mjs";

export class Keys {
  constructor(driver) {
    this.driver = driver;
    this.page = driver.page;
  }

  /** Presses a key, then waits for `then`. */
  async press(key, then) {
    await this.page.keyboard.press(key);
    await then();
  }

  /** Presses Tab until the element in focus matches. */
  async tabTo(selector) {
    for (let i = 0; i < 150; i += 1) {
      if (await this.inFocus(selector)) return;
      await this.page.keyboard.press("Tab");
    }
    assert.fail(`Tab does not lead to ${selector}`);
  }

  inFocus(selector) {
    return this.page.evaluate((s) => document.activeElement.matches(s), selector);
  }

  /** The part and the port in focus, each "" where there is none. */
  here() {
    return this.page.evaluate(() => {
      const port = document.activeElement.closest("[data-port]");
      const part = document.activeElement.closest("[data-part]");
      return { part: part?.dataset.part ?? "", port: port?.dataset.port ?? "" };
    });
  }

  async placePart(label) {
    await this.tabTo("input[type=search]");
    const [parts, wires] = await this.driver.counts();
    await this.page.keyboard.press("Control+a");
    await this.page.keyboard.type(label);
    await this.driver.kind(label).waitFor();
    await this.press("Enter", () => this.driver.hasCounts(parts + 1, wires));
    await this.driver.card(label).waitFor();
  }

  /** Goes to a part's card: by Tab to the board, then by Ctrl and arrow keys towards it. */
  async goToPart(name) {
    if ((await this.here()).port) await this.press("Escape", () => this.#focused("g.card"));
    await this.tabTo("g.card");
    const wanted = await this.driver.card(name).getAttribute("data-part");
    const tried = new Set();
    for (let i = 0; i < 40; i += 1) {
      const { part } = await this.here();
      if (part === wanted) return;
      const [a, b] = await this.#places(part, wanted);
      const [dx, dy] = [b.x - a.x, b.y - a.y];
      let ways = [[Math.abs(dx), dx < 0 ? "ArrowLeft" : "ArrowRight"], [Math.abs(dy), dy < 0 ? "ArrowUp" : "ArrowDown"]];
      ways = ways.filter(([far]) => far > 0.5).sort((m, n) => n[0] - m[0]).map(([, key]) => key);
      // The other way where the nearer one has led back here before.
      const key = tried.has(`${part} ${ways[0]}`) && ways[1] ? ways[1] : ways[0];
      tried.add(`${part} ${key}`);
      await this.page.keyboard.press(`Control+${key}`);
      await expect(async () => assert.notEqual((await this.here()).part, part, `${key} leads nowhere from ${part}`));
    }
    assert.fail(`the arrow keys do not lead to ${name}`);
  }

  async #places(...ids) {
    return Promise.all(ids.map((id) => this.page.locator(`g.card[data-part="${id}"] rect.ground`).boundingBox()));
  }

  #focused(selector) {
    return expect(async () => assert.ok(await this.inFocus(selector), `${selector} is not in focus`));
  }

  async goToPort(name, port) {
    await this.goToPart(name);
    const { part } = await this.here();
    await this.press("w", () => this.#focused("[data-port]"));
    await this.#arrowTo(part, port);
  }

  /** Presses an arrow key until this port is in focus. */
  async #arrowTo(part, port) {
    const seen = [];
    for (let i = 0; i < 60; i += 1) {
      const here = await this.page.evaluate(() => document.activeElement.id);
      if (here === `port:${part}.${port}`) return;
      seen.push(here);
      await this.page.keyboard.press("ArrowRight");
      await expect(async () => assert.notEqual(await this.page.evaluate(() => document.activeElement.id), here));
    }
    assert.fail(`the arrow keys do not lead to ${part}.${port}, but to ${seen.join(", ")}`);
  }

  async wire(from, out, to, into) {
    const [parts, wires] = await this.driver.counts();
    const target = await this.driver.card(to).getAttribute("data-part");
    await this.goToPort(from, out);
    const origin = (await this.page.evaluate(() => document.activeElement.id));
    await this.press("Enter", () => this.page.locator(".paper.joining").waitFor());
    await expect(async () => assert.notEqual(await this.page.evaluate(() => document.activeElement.id), origin));
    await this.#arrowTo(target, into);
    await this.press("Enter", () => this.driver.hasCounts(parts, wires + 1));
    await this.driver.hasWire(from, out, to, into);
  }

  /** Chooses a part, so that the details show it. */
  async choose(name) {
    await this.goToPart(name);
    const chosen = await this.page.evaluate(() => document.activeElement.getAttribute("aria-label").endsWith(", chosen"));
    if (!chosen) await this.page.keyboard.press("Space");
    await this.driver.details.getByRole("heading", { name, exact: true }).waitFor();
  }

  async chooseWire(from, out) {
    await this.goToPort(from, out);
    await this.page.keyboard.press("Space");
    await this.driver.details.getByRole("heading", { name: "Wire", exact: true }).waitFor();
  }

  /** Chooses one of two words of a setting in the details. */
  async set(label, option) {
    const entry = this.driver.details.getByLabel(label, { exact: true });
    const id = await entry.getAttribute("id");
    await this.tabTo(`#${id}`);
    for (const key of ["ArrowDown", "ArrowUp"]) {
      if (await entry.inputValue() === option) return;
      await this.page.keyboard.press(key);
    }
    assert.equal(await entry.inputValue(), option);
  }

  async setTime(hour) {
    const button = this.page.getByRole("group", { name: "Moment shown" }).getByRole("button", { name: hour });
    for (let i = 0; i < 150; i += 1) {
      if (await button.evaluate((b) => b === document.activeElement)) return this.page.keyboard.press("Enter");
      await this.page.keyboard.press("Tab");
    }
    return assert.fail(`Tab does not lead to ${hour}`);
  }
}
