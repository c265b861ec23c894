// The site in a user's verbs: to and fro between board and site, drawing, hanging parts, runs of wires, rooms, strangers;
// by mouse, by touch and by keyboard alone.

import { after, before, describe, it } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

const PHONE = { width: 390, height: 844 };

/** The site as its user sees it. */
class Site {
  constructor(page) {
    this.page = page;
    this.driver = new PageDriver(page);
    this.paper = page.locator("#site-paper");
    this.shelf = page.getByRole("complementary", { name: "Shelf" });
    this.details = page.getByRole("complementary", { name: "Details and problems" });
  }

  async turn(to = "Site") {
    await this.page.getByRole("group", { name: "Drawing shown" }).getByRole("button", { name: to, exact: true }).click();
    if (to === "Site") await this.page.locator(".site-whole").waitFor();
  }

  level(name) {
    return this.page.getByRole("group", { name: "Storeys" }).getByRole("button", { name, exact: true });
  }

  async storey(name) {
    const level = this.level(name);
    await level.click();
    await expect(async () => assert.equal(await level.getAttribute("aria-pressed"), "true"));
  }

  async tool(name) {
    await this.shelf.getByRole("group", { name: "Draw", exact: true }).getByRole("button", { name, exact: true }).click();
  }

  /** Where a place within a cell is in the window; `by` in shares of the cell from its middle. */
  async cell(x, y, [dx, dy] = [0, 0]) {
    return this.page.locator("svg.site-drawing").evaluate((svg, [px, py]) => {
      const at = new DOMPoint(px, py).matrixTransform(svg.getScreenCTM());
      return { x: at.x, y: at.y };
    }, [64 * (x + 0.5 + dx), 64 * (y + 0.5 + dy)]);
  }

  part(id) {
    return this.paper.locator(`.site-part[data-part="${id}"]`);
  }

  /** Takes a part from the tray and puts it on a place of a cell. */
  async hang(name, x, y, by) {
    const entry = this.shelf.locator(".site-tray").getByRole("button", { name: new RegExp(`^${name}`) }).first();
    await entry.click();
    await this.page.locator(".site-hand").waitFor();
    const to = await this.cell(x, y, by);
    await this.page.mouse.click(to.x, to.y);
    await this.page.locator(".site-hand").waitFor({ state: "detached" });
  }

  undo() {
    return this.page.getByRole("button", { name: "Undo", exact: true });
  }

  async said(text) {
    await expect(async () => assert.match(await this.page.locator(".notice").textContent(), text));
  }
}

async function opened(visitor) {
  const page = await visitor.open();
  return new Site(page);
}

async function station(visitor) {
  const site = await opened(visitor);
  await site.page.locator(".welcome").getByRole("button", { name: "Kittiwake Light" }).click();
  await site.driver.card("Roof panel").or(site.page.locator("g.card").first()).first().waitFor();
  await site.turn();
  return site;
}

describe("the site", () => {
  let browser;
  before(async () => { browser = await Station.start(); });
  after(async () => { await browser?.stop(); });

  it("stands in the board's place by one click and one key, and a new plan has a hut", async () => {
    const visitor = await browser.visitor();
    const site = await opened(visitor);
    await site.turn();
    await site.paper.waitFor();
    await site.level("Roof").waitFor();
    await site.page.keyboard.press("s");
    await site.paper.waitFor({ state: "detached" });
    await site.page.keyboard.press("s");
    await site.paper.waitFor();
    await visitor.leave();
  });

  it("draws a wall by one drag, which is one step of undo", async () => {
    const visitor = await browser.visitor();
    const site = await opened(visitor);
    await site.turn();
    await site.tool("Wall");
    const walls = () => site.paper.locator(".site-storey .site-wall").getAttribute("d");
    const before = await walls();
    await site.driver.drag(await site.cell(0, 0, [0, 0.45]), await site.cell(1, 0, [0, 0.45]));
    await expect(async () => assert.notEqual(await walls(), before));
    assert.equal(await site.undo().getAttribute("title"), "Undo: draw walls");
    await site.undo().click();
    await expect(async () => assert.equal(await walls(), before));
    await visitor.leave();
  });

  it("hangs parts where their types go, says why not elsewhere, and leads the wire between them", async () => {
    const visitor = await browser.visitor();
    const site = await opened(visitor);
    await site.driver.placePart("Sun panel", [0.2, 0.3]);
    await site.driver.placePart("Lamp", [0.7, 0.3]);
    await site.driver.wire("Sun panel", "out", "Lamp", "in");
    await site.turn();
    // A lamp goes on a wall: the middle of the floor is far from one, its wall is taken all the same.
    await site.shelf.locator(".site-tray").getByRole("button", { name: /^Sun panel/ }).click();
    const inside = await site.cell(3, 3);
    await site.page.mouse.click(inside.x, inside.y);
    await site.said(/Sun panel can't hang here: it goes on a flat roof/);
    await site.page.keyboard.press("Escape");
    await site.hang("Lamp", 3, 2, [0, -0.4]);
    await site.details.getByText("Hangs on the north wall of Hut, Ground.").waitFor();
    await site.storey("Roof");
    await site.hang("Sun panel", 4, 4);
    await site.paper.locator(".site-line").first().waitFor();
    assert.equal(await site.paper.locator("text.site-number").first().textContent(), "1");
    await site.storey("Ground");
    await site.paper.locator(".site-leaves").first().waitFor({ state: "attached" });
    // Choosing the wire says its run, here and on the board.
    await site.paper.locator("rect.site-number").first().click();
    await site.details.getByRole("heading", { name: "On the site: wire 1" }).waitFor();
    await site.details.getByText(/^From its beginning /).waitFor();
    await site.turn("Board");
    await site.details.getByRole("heading", { name: "On the site: wire 1" }).waitFor();
    await visitor.leave();
  });

  it("tells in the bar what does not go on the site, and leads there from the board", async () => {
    const visitor = await browser.visitor();
    const site = await opened(visitor);
    await site.driver.placePart("Lamp", [0.5, 0.3]);
    await site.turn();
    await site.hang("Lamp", 3, 2, [0, -0.4]);
    await site.details.getByText("Hangs on the north wall of Hut, Ground.").waitFor();
    // The wall that it hangs on is taken away.
    await site.tool("Wall");
    await site.driver.drag(await site.cell(3, 2, [0, -0.45]), await site.cell(3, 2, [0.2, -0.45]));
    const worst = site.page.locator("button.worst");
    await expect(async () => assert.match(await worst.innerText(), /1 error[^]*Lamp hangs where nothing can/));
    await site.turn("Board");
    await worst.click();
    await site.paper.waitFor();
    await site.undo().click();
    await expect(async () => assert.doesNotMatch(await worst.innerText(), /error/));
    await visitor.leave();
  });

  it("is drawn and hung by keyboard alone", async () => {
    const visitor = await browser.visitor();
    const site = await opened(visitor);
    await site.driver.placePart("Lamp", [0.5, 0.3]);
    const { keyboard } = site.page;
    await keyboard.press("Escape");
    await keyboard.press("s");
    await site.paper.waitFor();
    await expect(async () => assert.ok(await site.paper.evaluate((e) => e === document.activeElement)));
    await keyboard.press("r");
    await keyboard.press("ArrowDown");
    await keyboard.press("Shift+ArrowRight");
    await keyboard.press("Enter");
    await expect(async () => assert.equal(await site.undo().getAttribute("title"), "Undo: draw roof"));
    await keyboard.press("Escape");
    const entry = site.shelf.locator(".site-tray button").first();
    await entry.focus();
    await keyboard.press("Enter");
    await site.page.locator(".site-hand").waitFor();
    await site.paper.focus();
    for (let i = 0; i < 4; i += 1) await keyboard.press("ArrowRight");
    for (let i = 0; i < 4; i += 1) await keyboard.press("ArrowDown");
    await keyboard.press("ArrowUp");
    await keyboard.press("ArrowUp");
    await keyboard.press("Enter");
    await site.page.locator(".site-hand").waitFor({ state: "detached" });
    await site.paper.locator(".site-part").first().waitFor({ state: "attached" });
    await visitor.leave();
  });

  it("offers ready sites where a plan has none, and takes back what is taken", async () => {
    const visitor = await browser.visitor();
    const site = await opened(visitor);
    await site.turn();
    await site.details.locator("summary", { hasText: "Another site" }).click();
    await site.details.getByRole("button", { name: "Take the site away" }).click();
    await site.page.getByRole("heading", { name: "This plan has no site yet" }).waitFor();
    await assertAccessible(site.page);
    await site.page.locator(".site-offer").getByRole("button", { name: "Tower" }).click();
    await site.paper.waitFor();
    await site.undo().click();
    await site.undo().click();
    await site.level("Ground").waitFor();
    await visitor.leave();
  });

  it("has rooms to name and to draw, a size and storeys to change", async () => {
    const visitor = await browser.visitor();
    const site = await opened(visitor);
    await site.turn();
    await site.details.getByRole("button", { name: "Add a room" }).click();
    await site.driver.drag(await site.cell(0, 0), await site.cell(1, 1));
    await expect(async () => assert.equal(await site.undo().getAttribute("title"), "Undo: draw Room 2"));
    await site.page.keyboard.press("Escape");
    const name = site.details.getByLabel("Name of room 2");
    await name.fill("Net loft");
    await name.press("Enter");
    await site.details.getByLabel("Who comes to room 2").selectOption("friends");
    await site.paper.getByText("Net loft · friends").waitFor();
    await site.details.getByRole("button", { name: "A row of cells more in the east" }).click();
    await site.details.getByText("9 by 7 cells").waitFor();
    await site.details.getByRole("button", { name: "Add a storey on top" }).click();
    await site.level("Storey 3").waitFor();
    const cell = site.details.getByLabel("Edge of a cell");
    await cell.fill("0.1");
    await cell.press("Enter");
    await site.details.getByText("From 0.2 to 10 m.").waitFor();
    await visitor.leave();
  });

  it("shows Kittiwake Light with parts and runs, choosing on one what is chosen on the other", async () => {
    const visitor = await browser.visitor();
    const site = await station(visitor);
    await site.paper.locator(".site-part").first().waitFor({ state: "attached" });
    await site.paper.locator(".site-line").first().waitFor({ state: "attached" });
    await assertAccessible(site.page);
    const first = site.paper.locator(".site-part").first();
    const id = await first.getAttribute("data-part");
    const box = await first.locator(".site-box").boundingBox();
    await site.page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    await site.details.getByRole("heading", { name: "On the site" }).waitFor();
    await site.turn("Board");
    await site.page.locator(`g.card.chosen[data-part="${id}"]`).waitFor();
    await visitor.leave();
  });

  it("says what a stranger can put out or cut, from board and site", async () => {
    const visitor = await browser.visitor();
    const site = await station(visitor);
    await site.page.getByRole("group", { name: "View of the site" }).getByRole("button", { name: "Strangers" }).click();
    await site.details.getByRole("heading", { name: "What a stranger can put out or cut" }).waitFor();
    await site.details.getByText(/^Strangers can reach /).waitFor();
    await assertAccessible(site.page);
    await site.turn("Board");
    await site.details.getByRole("heading", { name: "What a stranger can put out or cut" }).waitFor();
    await visitor.leave();
  });

  it("is drawn, hung and zoomed by touch on a phone", async () => {
    const visitor = await browser.visitor({ size: PHONE, touch: true });
    const site = await opened(visitor);
    await site.page.getByRole("button", { name: "Shelf", exact: true }).tap();
    await site.shelf.getByRole("button", { name: "Lamp", exact: true }).tap();
    await site.page.locator(".paper").tap({ position: { x: 150, y: 150 } });
    await site.page.locator("g.card").first().waitFor();
    await site.page.getByRole("group", { name: "Drawing shown" }).getByRole("button", { name: "Site" }).tap();
    await site.paper.waitFor();
    await site.page.getByRole("button", { name: "Shelf", exact: true }).tap();
    await site.shelf.locator(".site-tray button").first().tap();
    const wall = await site.cell(3, 2, [0, -0.3]);
    await site.page.touchscreen.tap(wall.x, wall.y);
    const part = site.paper.locator(".site-part .site-box").first();
    await part.waitFor({ state: "attached" });
    const before = (await part.boundingBox()).width;
    const { x, y } = wall;
    const touch = await visitor.context.newCDPSession(site.page);
    const fingers = (apart) => [{ x: x - apart, y, id: 0 }, { x: x + apart, y, id: 1 }];
    await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: fingers(20) });
    for (const apart of [30, 40, 50]) {
      await touch.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: fingers(apart) });
    }
    await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
    await expect(async () => assert.ok((await part.boundingBox()).width > before * 1.8));
    await assertAccessible(site.page);
    const wide = await site.page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= PHONE.width, `the page is ${wide} wide`);
    await visitor.leave();
  });

  it("leads a wire over a place by keyboard, and takes that back", async () => {
    const visitor = await browser.visitor();
    const site = await station(visitor);
    await site.paper.locator(".site-line").first().waitFor({ state: "attached" });
    await site.page.keyboard.press("Escape");
    const first = site.details.locator(".site-wires button").first();
    await first.focus();
    await site.page.keyboard.press("Enter");
    // What was pressed is gone with the list; the keyboard stays in the details.
    await site.details.getByRole("heading", { name: "On the site: wire 1" }).waitFor();
    await expect(async () => assert.ok(await site.page.evaluate(() => document.activeElement.closest(".about"))));
    const run = site.details.locator("section[aria-labelledby=wire-on-site] dl.numbers");
    const length = () => run.innerText();
    const before = await length();
    await site.details.getByRole("button", { name: "Lead it over a place" }).press("Enter");
    await site.page.getByText("A bend of wire 1 in hand: choose the place that it is to run over.").waitFor();
    await expect(async () => assert.ok(await site.paper.evaluate((e) => e === document.activeElement)));
    await site.page.keyboard.press("ArrowRight");
    await site.page.keyboard.press("ArrowLeft");
    await site.page.keyboard.press("Enter");
    await site.page.locator(".site-hand").waitFor({ state: "detached" });
    await site.details.getByRole("heading", { name: "Led by hand" }).waitFor();
    await expect(async () => assert.notEqual(await length(), before));
    await site.undo().click();
    await expect(async () => assert.equal(await length(), before));
    await visitor.leave();
  });

  it("hides a wire that strangers see, in one step", async () => {
    const visitor = await browser.visitor();
    const site = await station(visitor);
    await site.paper.locator(".site-line").first().waitFor({ state: "attached" });
    const wires = site.details.locator(".site-wires button");
    const hide = site.details.getByRole("button", { name: "Hide it" });
    let hidden = false;
    for (let at = 0; at < await wires.count() && !hidden; at += 1) {
      await wires.nth(at).click();
      const heading = site.page.getByRole("heading", { name: "Out of sight" });
      await site.details.getByRole("heading", { name: `On the site: wire ${at + 1}` }).waitFor();
      if (await heading.isVisible()) {
        const offer = site.details.locator("section", { has: heading });
        await offer.getByText(/^(No run shows less of it|A run of )/).waitFor();
        if (await hide.isVisible()) {
          await hide.click();
          await expect(async () => assert.equal(await site.undo().getAttribute("title"), "Undo: lead a wire"));
          await expect(async () => assert.ok(!(await hide.isVisible())));
          hidden = true;
        }
      }
      await site.paper.focus();
      await site.page.keyboard.press("Escape");
      await wires.first().waitFor();
    }
    assert.ok(hidden, "a wire of the station can be hidden");
    await visitor.leave();
  });

  it("follows the wheel, and is accessible in the dark without motion", async () => {
    const visitor = await browser.visitor({ theme: "dark" });
    const site = await station(visitor);
    await site.paper.locator(".site-line").first().waitFor({ state: "attached" });
    await assertAccessible(site.page);
    const wide = async () => (await site.paper.locator(".site-part .site-box").first().boundingBox()).width;
    const before = await wide();
    const middle = await site.cell(4, 4);
    await site.page.mouse.move(middle.x, middle.y);
    await site.page.mouse.wheel(0, -240);
    await expect(async () => assert.ok(await wide() > before * 1.05));
    const moving = await site.page.evaluate(() => document.getAnimations().length);
    assert.equal(moving, 0);
    await visitor.leave();
  });

  it("prints its storeys as small plans", async () => {
    const visitor = await browser.visitor();
    const site = await station(visitor);
    await site.paper.locator(".site-line").first().waitFor({ state: "attached" });
    await site.page.emulateMedia({ media: "print" });
    await site.page.evaluate(() => dispatchEvent(new Event("beforeprint")));
    await site.page.locator(".site-printed svg").first().waitFor();
    await visitor.leave();
  });
});
