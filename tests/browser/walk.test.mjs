// Walks: followed from a link and a file by buttons, keys and touch, resumed, gone on from; made by doing.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(async () => { await station?.stop(); });

const lesson = () => JSON.parse(readFileSync(new URL("../../assets/lessons/05-dusk-lamp.json", import.meta.url), "utf8"));
const example = () => JSON.parse(readFileSync(new URL("../../assets/examples/dusk-lamp.json", import.meta.url), "utf8"));

/** One tab with a walk, as its user sees it. */
class Walker extends PageDriver {
  get bar() {
    return this.page.getByRole("region", { name: "Walk", exact: true });
  }

  get text() {
    return this.bar.locator(".walk-says");
  }

  press(name) {
    return this.bar.getByRole("button", { name, exact: true });
  }

  /** Waits until the bar is at this step. */
  async isAt(step, of) {
    await expect(async () => assert.equal(await this.bar.locator(".walk-count").innerText(), `Step ${step} of ${of}`));
  }
}

/** A visitor with a plan that came in as a file, whose walk has begun. */
async function walking(plan = lesson(), options) {
  const visitor = await station.visitor(options);
  const driver = new Walker(await visitor.open());
  await driver.openFile(plan);
  await driver.bar.waitFor();
  return { visitor, driver, page: driver.page };
}

test("a plan that comes in by link begins its walk at once, and buttons lead to and fro", async () => {
  const { visitor, driver } = await walking();
  await driver.press("Close").click();
  await driver.bar.waitFor({ state: "hidden" });
  const link = await driver.copyLink();
  const other = await station.visitor();
  const guest = new Walker(await other.open(new URL(link).hash));
  const { steps } = lesson().walk;
  await guest.isAt(1, steps.length);
  assert.equal(await guest.text.innerText(), steps[0].says);
  await guest.hasCounts(3, 2);
  const first = await guest.read();
  const seen = [first];
  for (let step = 2; step <= steps.length; step += 1) {
    await guest.press("Forward ▸").click();
    await guest.isAt(step, steps.length);
    assert.equal(await guest.text.innerText(), steps[step - 1].says);
    seen.push(await guest.read());
  }
  assert.equal(await guest.press("Forward ▸").getAttribute("aria-disabled"), "true");
  for (let step = steps.length - 1; step >= 1; step -= 1) {
    await guest.press("◂ Back").click();
    await guest.isAt(step, steps.length);
    await guest.reads(seen[step - 1]);
  }
  await visitor.leave();
  await other.leave();
});

test("keys lead to and fro while the keyboard is in the bar, which has it from the beginning", async () => {
  const { visitor, driver, page } = await walking();
  const of = lesson().walk.steps.length;
  await driver.isAt(1, of);
  await expect(async () => assert.ok(await page.evaluate(() => document.activeElement.closest(".walk-bar"))));
  await page.keyboard.press("ArrowRight");
  await driver.isAt(2, of);
  await page.keyboard.press("PageDown");
  await driver.isAt(3, of);
  await page.keyboard.press("PageUp");
  await page.keyboard.press("ArrowLeft");
  await driver.isAt(1, of);
  await page.keyboard.press("End");
  await driver.isAt(of, of);
  await page.keyboard.press("Home");
  await driver.isAt(1, of);
  const slider = driver.bar.getByRole("slider", { name: "Step of the walk" });
  await slider.focus();
  await page.keyboard.press("ArrowRight");
  await driver.isAt(2, of);
  assert.equal(await slider.getAttribute("aria-valuetext"), `Step 2 of ${of}`);
  await slider.fill("4");
  await driver.isAt(4, of);
  // On the board the keys are the board's.
  await page.locator(".paper").focus();
  await page.keyboard.press("PageDown");
  await driver.isAt(4, of);
  await visitor.leave();
});

test("the board shows the step: its moment, and what it lights up, told by more than colour", async () => {
  const { visitor, driver, page } = await walking();
  await driver.isAt(1, lesson().walk.steps.length);
  const lit = page.locator("g.card.in-light");
  await expect(async () => assert.equal(await lit.count(), 1));
  assert.match(await lit.getAttribute("aria-label"), /, lit up by the walk$/);
  assert.equal(await lit.locator("path.light-ring").count(), 1);
  assert.equal(await lit.locator("path.light-mark").count(), 1);
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  await expect(async () => assert.equal(await page.locator("g.wire-group.in-light .light-mark").count(), 1));
  for (let n = 0; n < 2; n += 1) await page.keyboard.press("ArrowRight");
  await driver.cursorSays(/21:00/);
  const status = driver.bar.getByRole("status").first();
  assert.match(await status.innerText(), /Step 5 of \d+\s+Nine in the evening/);
  await visitor.leave();
});

test("a walk is resumed after a reload where it was left, and after closing from its button", async () => {
  const { visitor, driver, page } = await walking();
  const of = lesson().walk.steps.length;
  for (let n = 0; n < 3; n += 1) await page.keyboard.press("ArrowRight");
  await driver.isAt(4, of);
  await page.waitForTimeout(800);
  await page.reload();
  await visitor.started(page);
  await driver.isAt(4, of);
  await driver.press("Close").click();
  await driver.bar.waitFor({ state: "hidden" });
  await page.waitForTimeout(300);
  await page.reload();
  await visitor.started(page);
  await driver.button("Walk").waitFor();
  assert.equal(await driver.bar.count(), 0);
  await driver.button("Walk").click();
  await driver.isAt(4, of);
  await visitor.leave();
});

test("nothing that is tried changes the plan, and going on from here leaves it as it was", async () => {
  const { visitor, driver, page } = await walking();
  const of = lesson().walk.steps.length;
  await expect(async () => assert.equal(Object.keys(await driver.kept()).length >= 1, true));
  await page.waitForTimeout(800);
  const key = await driver.openKey();
  const before = (await driver.kept())[key];
  for (let n = 0; n < 2; n += 1) await page.keyboard.press("ArrowRight");
  await driver.isAt(3, of);
  const board = await driver.read();
  await page.locator("g.card").first().click();
  await page.keyboard.press("Delete");
  await driver.says(/^You are following a walk: “Go on from here” makes a copy that you can change/);
  await page.keyboard.press("s");
  await driver.says(/^A walk is shown on the board\./);
  const field = page.getByRole("textbox", { name: "Title of the plan" });
  await field.fill("Another");
  await field.press("Enter");
  await expect(async () => assert.equal(await field.inputValue(), lesson().title));
  await page.locator(".paper").focus();
  await page.keyboard.press("Escape");
  await driver.reads(board);
  await driver.press("Go on from here").click();
  await driver.bar.waitFor({ state: "hidden" });
  await expect(async () => assert.equal(await field.inputValue(), `${lesson().title} (from step 3)`));
  await driver.says(/^This is a copy of step 3, a plan of your own\./);
  await expect(async () => assert.notEqual(await driver.openKey(), key));
  await page.locator("g.card").first().click();
  await page.keyboard.press("Delete");
  await driver.says(/^Done: remove/);
  await page.waitForTimeout(800);
  assert.deepEqual((await driver.kept())[key], before);
  await driver.openKept(lesson().title);
  await driver.button("Walk").click();
  await driver.isAt(3, of);
  await driver.reads(board);
  await visitor.leave();
});

test("a question is answered right or wrong in words, and going on waits for no answer", async () => {
  const { visitor, driver, page } = await walking();
  const { question } = lesson().walk.steps[2];
  for (let n = 0; n < 2; n += 1) await page.keyboard.press("ArrowRight");
  const asked = driver.bar.getByRole("group", { name: question.asks });
  await asked.waitFor();
  await assertAccessible(page);
  const wrong = question.answers.findIndex((_, at) => at !== question.right);
  await asked.getByRole("button", { name: question.answers[wrong] }).click();
  await asked.getByText("That is not right. Choose another answer, or go on.").waitFor();
  await asked.getByText(question.because).waitFor();
  await asked.getByRole("button", { name: question.answers[question.right] }).click();
  await asked.getByText("That is right.").waitFor();
  assert.equal(await asked.locator(".walk-told .walk-mark.right").count(), 1);
  await driver.press("Forward ▸").click();
  await asked.waitFor({ state: "hidden" });
  await driver.press("◂ Back").click();
  await asked.getByText("That is right.").waitFor();
  await visitor.leave();
});

test("what a stranger wrote is text and nothing else", async () => {
  const plan = lesson();
  const evil = "<img src=x onerror=\"document.title='taken'\"><b>bold</b> [a](javascript:alert(1))";
  plan.walk.steps[0].says = evil;
  plan.walk.steps[0].question = { asks: evil, answers: [evil, `${evil} 2`], right: 0, because: evil };
  const { visitor, driver, page } = await walking(plan);
  assert.equal(await driver.text.innerText(), evil);
  await driver.bar.locator(".walk-answer").first().click();
  await driver.openLogPage("Walk");
  await page.getByRole("textbox", { name: "Text of step 1" }).waitFor();
  assert.equal(await page.locator(".walk-bar img, .walk-bar b, .walk-bar a, .walk-page img").count(), 0);
  assert.notEqual(await page.title(), "taken");
  await visitor.leave();
});

for (const theme of ["light", "dark"]) {
  test(`a phone follows a walk by touch, ${theme}`, async () => {
    const { visitor, driver, page } = await walking(lesson(), { size: { width: 390, height: 844 }, touch: true, theme });
    const of = lesson().walk.steps.length;
    await driver.isAt(1, of);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= 390, `the page is ${wide} wide`);
    for (const name of ["◂ Back", "Forward ▸", "Go on from here", "Close"]) {
      const box = await driver.press(name).boundingBox();
      assert.ok(box.height >= 44 && box.width >= 44, `${name}: ${box.width} by ${box.height}`);
    }
    await assertAccessible(page);
    await driver.press("Forward ▸").tap();
    await driver.isAt(2, of);
    const touch = await visitor.context.newCDPSession(page);
    const swipe = async (by) => {
      const { x, y } = await driver.bar.locator(".walk-count").boundingBox();
      const from = { x: 195, y: y + 8, id: 0 };
      const send = (type, touchPoints) => touch.send("Input.dispatchTouchEvent", { type, touchPoints });
      await send("touchStart", [from]);
      for (let n = 1; n <= 6; n += 1) {
        await send("touchMove", [{ ...from, x: from.x + by * n / 6 }]);
        await page.waitForTimeout(16);
      }
      await send("touchEnd", []);
    };
    await swipe(-120);
    await driver.isAt(3, of);
    await swipe(120);
    await driver.isAt(2, of);
    // All that the step is about is in sight, above the bar.
    const bar = await driver.bar.boundingBox();
    for (const card of await page.locator("g.card").all()) {
      const box = await card.locator("rect.ground").boundingBox();
      assert.ok(box.y + box.height <= bar.y + 1 && box.x >= 0 && box.x + box.width <= 390, JSON.stringify(box));
    }
    await driver.press("Close").tap();
    await driver.bar.waitFor({ state: "hidden" });
    await driver.button("Menu").tap();
    await driver.button("Walk").tap();
    await driver.isAt(2, of);
    await visitor.leave();
  });
}

/** The example on the board, with the log's page on which walks are made. */
async function making(options) {
  const visitor = await station.visitor(options);
  const driver = new Walker(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.openLogPage("Walk");
  return { visitor, driver, page: driver.page, made: driver.page.locator(".walk-page") };
}

test("a walk is recorded by doing, with texts proposed, and each step is taken back by one undo", async () => {
  const { visitor, driver, page, made } = await making();
  const next = made.getByRole("textbox", { name: "Text of the next step" });
  const record = made.getByRole("button", { name: "Record a step" });
  await made.getByText("The first step takes all that is on the board: 6 parts more, 6 wires more, other duties.").waitFor();
  await expect(async () => assert.match(await next.inputValue(), /^Roof panel, .* come onto the board\. /));
  await record.click();
  const steps = made.locator(".walk-made");
  await expect(async () => assert.equal(await steps.count(), 1));
  await made.getByText("Nothing has changed on the board since the last step.").waitFor();

  await driver.choose("Dusk lamp");
  await page.locator(".paper").focus();
  await page.keyboard.press("Delete");
  await made.getByText("The board has changed since the last step: 1 part less, 1 wire less, other duties.").waitFor();
  await expect(async () => assert.equal(await next.inputValue(), "Dusk lamp is taken away."));
  await next.fill("Somebody has taken the lamp away.");
  await driver.choose("Bunk heater");
  await driver.setTime("Midnight");
  await record.click();
  await expect(async () => assert.equal(await steps.count(), 2));
  assert.equal(await made.getByRole("textbox", { name: "Text of step 2" }).inputValue(), "Somebody has taken the lamp away.");
  await steps.nth(1).getByText("Lights up Bunk heater.").waitFor();
  await steps.nth(1).getByText("Shows 00:00.").waitFor();
  await assertAccessible(page);

  await driver.button("Undo").click();
  await expect(async () => assert.equal(await steps.count(), 1));
  await driver.button("Redo").click();
  await expect(async () => assert.equal(await steps.count(), 2));

  await made.getByRole("button", { name: "Play from here, step 2" }).click();
  await driver.isAt(2, 2);
  await driver.hasCounts(5, 5);
  assert.equal(await made.getByRole("button", { name: "Delete, step 1" }).isDisabled(), true);
  await driver.press("◂ Back").click();
  await driver.hasCounts(6, 6);
  await driver.press("Close").click();
  await driver.hasCounts(5, 5);
  await visitor.leave();
});

test("steps are written otherwise, joined and deleted, and the states after them stay", async () => {
  const { visitor, driver, page, made } = await making();
  const record = made.getByRole("button", { name: "Record a step" });
  const steps = made.locator(".walk-made");
  await record.click();
  for (const [at, name] of ["Dusk lamp", "Dusk relay"].entries()) {
    await driver.choose(name);
    await page.locator(".paper").focus();
    await page.keyboard.press("Delete");
    await made.getByText(/^The board has changed since the last step: 1 part less/).waitFor();
    await record.click();
    await expect(async () => assert.equal(await steps.count(), at + 2));
  }
  const text = (step) => made.getByRole("textbox", { name: `Text of step ${step}` });
  await text(1).fill("All of it.");
  // A press right from the field: what was written is kept, and the press counts.
  await made.getByRole("button", { name: "Join to the one before, step 3" }).click();
  await expect(async () => assert.equal(await steps.count(), 2));
  assert.equal(await text(1).inputValue(), "All of it.");
  assert.equal(await text(2).inputValue(), "Dusk lamp is taken away. Dusk relay is taken away.");
  await driver.button("Undo").click();
  await expect(async () => assert.equal(await steps.count(), 3));
  await made.getByRole("button", { name: "Delete, step 2" }).click();
  await expect(async () => assert.equal(await steps.count(), 2));
  await made.getByRole("button", { name: "Play from here, step 2" }).click();
  await driver.hasCounts(4, 3);
  await driver.press("Close").click();

  await driver.choose("Shelf battery");
  await steps.nth(0).getByRole("button", { name: "Light up what is chosen" }).click();
  await steps.nth(0).getByText(/^Lights up .*Shelf battery\.$/).waitFor();
  await steps.nth(0).locator("summary").click();
  await steps.nth(0).getByRole("textbox", { name: "Question", exact: true }).fill("What is charged?");
  await steps.nth(0).getByLabel("Answers, a line each").fill("The lamp");
  await steps.nth(0).getByLabel("Why, said once").fill("It keeps what the panel gives.");
  await steps.nth(0).getByText(/^Not kept yet: a question needs its text and 2 to \d answers/).waitFor();
  await steps.nth(0).getByLabel("Answers, a line each").fill("The lamp\nThe battery");
  await page.keyboard.press("Tab");
  await steps.nth(0).getByLabel("The right one").selectOption("The battery");
  await made.getByRole("button", { name: "Play from here, step 1" }).click();
  const asked = driver.bar.getByRole("group", { name: "What is charged?" });
  await asked.getByRole("button", { name: "The battery" }).click();
  await asked.getByText("That is right.").waitFor();
  await asked.getByText("It keeps what the panel gives.").waitFor();
  await visitor.leave();
});

test("making a walk fits a phone", async () => {
  const visitor = await station.visitor({ size: { width: 390, height: 844 }, touch: true });
  const driver = new Walker(await visitor.open());
  await driver.openExample("Dusk lamp");
  const { page } = driver;
  await page.getByRole("navigation", { name: "Panes" }).getByRole("button", { name: "Log" }).tap();
  await page.getByRole("tab", { name: "Walk" }).tap();
  await page.getByRole("button", { name: "Record a step" }).tap();
  await page.getByRole("textbox", { name: "Text of step 1" }).waitFor();
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 390, `the page is ${wide} wide`);
  await assertAccessible(page);
  await visitor.leave();
});

test("in the view for a recording the keys step the walk and the caption has its text", async () => {
  const { visitor, driver, page } = await walking();
  const { steps } = lesson().walk;
  await driver.isAt(1, steps.length);
  await page.keyboard.press("v");
  const caption = page.locator(".stage-caption .stage-walk");
  await expect(async () => assert.equal(await caption.innerText(), steps[0].says));
  assert.equal(await driver.bar.isVisible(), false);
  await page.keyboard.press("ArrowRight");
  await expect(async () => assert.equal(await caption.innerText(), steps[1].says));
  await page.keyboard.press("ArrowLeft");
  await expect(async () => assert.equal(await caption.innerText(), steps[0].says));
  // A step's question stands there too, with its answers; nobody can choose one in a recording.
  const asked = steps.findIndex((step) => step.question);
  for (let at = 0; at < asked; at += 1) await page.keyboard.press("ArrowRight");
  const asks = page.locator(".stage-caption .stage-asks");
  await expect(async () => {
    const says = await asks.innerText();
    assert.ok(says.startsWith(steps[asked].question.asks), says);
    for (const answer of steps[asked].question.answers) assert.ok(says.includes(answer), says);
  });
  for (let at = 0; at < asked; at += 1) await page.keyboard.press("ArrowLeft");
  await assertAccessible(page);
  await page.keyboard.press("Escape");
  await driver.isAt(1, steps.length);
  await visitor.leave();
});

test("the first state of a walk may be an empty board, which offers nothing", async () => {
  const plan = example();
  plan.walk = { steps: [{ says: "An empty board." }, { says: "A panel.", edits: [{ add: { parts: ["p1"] } }] }] };
  const { visitor, driver, page } = await walking(plan);
  await driver.isAt(1, 2);
  await driver.hasCounts(0, 0);
  assert.equal(await page.getByRole("region", { name: "An empty board" }).count(), 0);
  await page.keyboard.press("ArrowRight");
  await driver.hasCounts(1, 0);
  await visitor.leave();
});
