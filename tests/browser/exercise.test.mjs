// Exercises and lessons: a learner begins one, fails, reads why, takes a hint, solves it and sends a link; whoever teaches sets
// one and looks through what comes back.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(async () => { await station?.stop(); });

const fixture = (name) => fileURLToPath(new URL(`../fixtures/lessons/${name}.json`, import.meta.url));
const plan = async (name) => JSON.parse(await readFile(new URL(`${name}.json`, import.meta.url), "utf8"));

async function begun(number, options) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  const { page } = driver;
  await driver.button(options?.touch ? "Menu" : "File").click();
  await driver.button("Lessons…").click();
  await driver.dialog.getByRole("button", { name: new RegExp(`^Begin Lesson ${number}:`) }).click();
  const exercise = page.locator(".exercise-page");
  // On a phone the way to the exercise opens the log as well.
  if (options?.touch) await endWalk(page);
  await exercise.getByRole("button", { name: "Check my plan" }).waitFor();
  return { visitor, driver, page, exercise };
}

/** Goes through the walk that a lesson begins with, to the exercise. */
async function endWalk(page) {
  const bar = page.locator(".walk-bar");
  await bar.press("End");
  await bar.getByRole("button", { name: "To the exercise" }).click();
  await bar.waitFor({ state: "detached" });
  await expect(async () => assert.equal(await page.evaluate(() => document.activeElement?.id), "exercise-page"));
}

test("a first visit offers lesson one, and it begins there", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const { page } = driver;
  await page.getByRole("button", { name: "Begin with lesson one" }).click();
  await page.locator(".exercise-page").getByRole("button", { name: "Check my plan" }).waitFor();
  await expect(async () => assert.match(await page.getByLabel("Title of the plan").inputValue(), /^Lesson 1/));
  await visitor.leave();
});

test("a learner fails, reads why, sees it on the board, follows the hints and is done", async () => {
  const { visitor, driver, page, exercise } = await begun(5);
  await endWalk(page);
  await exercise.getByRole("button", { name: "Check my plan" }).click();
  const verdict = exercise.locator(".exercise-verdict");
  await verdict.waitFor();
  assert.equal(await exercise.locator(".exercise-verdict.kept").count(), 0);
  await assertAccessible(page);
  await exercise.getByRole("button", { name: "Show on the board" }).first().click();
  await page.locator(".trial", { hasText: "Shown as a trial" }).waitFor();
  await page.getByRole("button", { name: "Back to the plan" }).click();
  const more = exercise.getByRole("button", { name: /^Give me a hint/ });
  while (await more.count()) await more.click();
  await exercise.getByRole("button", { name: "No more hints" }).waitFor();
  await exercise.getByRole("button", { name: "Show it on the board" }).last().click();
  await page.locator(".trial", { hasText: "hint" }).waitFor();
  await page.getByRole("button", { name: "Back to the plan" }).click();
  // What a learner builds comes as a file here: the solution, with the exercise that it solves.
  const [lesson, solution] = [await plan("../../assets/lessons/05-dusk-lamp"), await plan("../fixtures/lessons/05-1")];
  const { parts, wires, duties } = lesson;
  const start = [...parts.map((part) => ({ part })), ...wires.map((wire) => ({ wire })), { duties }];
  await driver.openFile({ ...solution, title: lesson.title, notes: lesson.notes, exercise: { ...lesson.exercise, start: [{ title: lesson.title }, ...start] } });
  await expect(async () => assert.equal(await driver.counts().then(([parts]) => parts), solution.parts.length));
  await exercise.getByRole("button", { name: "Check my plan" }).click();
  await exercise.locator(".exercise-verdict.kept").waitFor();
  await exercise.getByRole("img", { name: /^[23] of 3 stars$/ }).waitFor();
  await exercise.getByRole("button", { name: "On to Lesson 6" }).waitFor();
  await driver.button("File").click();
  await driver.button("Lessons…").click();
  await driver.dialog.getByText("1 of 13 done.").waitFor();
  await driver.dialog.getByRole("button", { name: "Close" }).click();
  await exercise.getByRole("button", { name: "Start again" }).click();
  await driver.hasCounts(parts.length, wires.length);
  await visitor.leave();
});

test("a solution by link is graded anew, and among others in the table", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const { page } = driver;
  const links = [];
  for (const name of ["05-1", "05-2"]) {
    await driver.openFile(JSON.parse(await readFile(fixture(name), "utf8")));
    links.push(await driver.copyLink());
  }
  await driver.button("File").click();
  await driver.button("Lessons…").click();
  await driver.dialog.getByRole("button", { name: /^Begin Lesson 5:/ }).click();
  await endWalk(page);
  await driver.button("File").click();
  await page.getByRole("button", { name: "Exercise for others…" }).click();
  await driver.dialog.getByRole("tab", { name: "Solutions" }).click();
  await driver.dialog.getByRole("textbox", { name: /^Links/ }).fill(`Tern: ${links[0]}\n=SUM(1)\t${links[1]}\nno link at all`);
  await driver.dialog.getByRole("button", { name: "Check them" }).click();
  const rows = driver.dialog.locator("tbody tr");
  await expect(async () => assert.equal(await rows.count(), 3));
  assert.match(await rows.nth(0).innerText(), /Tern[\s\S]*yes/);
  assert.match(await rows.nth(1).innerText(), /=SUM\(1\)[\s\S]*yes/);
  assert.match(await rows.nth(2).innerText(), /Can't be read/);
  await assertAccessible(page);
  const [file] = await Promise.all([
    page.waitForEvent("download"),
    driver.dialog.getByRole("button", { name: "Save as a table (CSV)" }).click(),
  ]);
  const text = await readFile(await file.path(), "utf8");
  assert.match(text, /Tern/);
  assert.doesNotMatch(text, /(^|,)"?=SUM/m);
  await visitor.leave();
});

test("an exercise is set: types, a trial, hints by doing, and the start stays the start", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  const { page } = driver;
  await driver.openExample("Dusk lamp");
  await driver.button("File").click();
  await page.getByRole("button", { name: "Exercise for others…" }).click();
  await driver.dialog.getByRole("button", { name: "Make an exercise of this plan" }).click();
  const asks = driver.dialog.getByLabel("What is to be done, in plain words");
  await asks.fill("Light <b>at dusk</b>");
  await asks.blur();
  await driver.dialog.getByRole("checkbox", { name: /Only these types/ }).check();
  await driver.dialog.getByRole("combobox", { name: "Add a type" }).selectOption({ label: "Lamp" });
  await driver.dialog.getByRole("button", { name: "Add a type: add it" }).click();
  await driver.dialog.getByLabel(/^Lamp: at most/).waitFor();
  await driver.dialog.getByRole("button", { name: "Any one part or wire fails" }).click();
  await driver.dialog.getByRole("button", { name: "Add weather" }).click();
  await expect(async () => assert.equal(await driver.dialog.getByRole("textbox", { name: /^What trial/ }).count(), 2));
  await assertAccessible(page);
  await driver.dialog.getByRole("button", { name: "Solve it here" }).click();
  await driver.dialog.waitFor({ state: "detached" });
  const exercise = page.locator(".exercise-page");
  await exercise.getByText("Light <b>at dusk</b>").waitFor();
  await exercise.getByText("Lamp: 0 of 1 built").waitFor();
  const before = await driver.counts();
  await driver.placePart("Lamp", [0.5, 0.9]);
  await exercise.getByText("Lamp: 1 of 1 built").waitFor();
  await driver.button("File").click();
  await page.getByRole("button", { name: "Exercise for others…" }).click();
  await driver.dialog.getByRole("button", { name: "Record what was done so far as a hint" }).click();
  const hint = driver.dialog.getByLabel("What hint 1 says");
  await expect(async () => assert.match(await hint.inputValue(), /Lamp/));
  await hint.fill("A second lamp.");
  await hint.blur();
  await driver.dialog.getByRole("button", { name: "Back to what is given" }).click();
  await driver.dialog.waitFor({ state: "detached" });
  await driver.hasCounts(...before);
  await visitor.leave();
});

test("a phone does a lesson by touch, and the windows fit it", async () => {
  const { visitor, page, driver, exercise } = await begun(1, { size: { width: 390, height: 844 }, touch: true, theme: "dark" });
  await exercise.getByRole("button", { name: "Check my plan" }).tap();
  await exercise.locator(".exercise-verdict").waitFor();
  await exercise.getByRole("button", { name: /^Give me a hint/ }).tap();
  await assertAccessible(page);
  await driver.button("Menu").tap();
  await driver.button("Lessons…").tap();
  await driver.dialog.getByText(/^\d+ of 13 done\.$/).waitFor();
  await assertAccessible(page);
  const wide = await driver.dialog.evaluate((dialog) => dialog.scrollWidth - dialog.clientWidth);
  assert.ok(wide <= 0, `${wide} pixels stick out`);
  await visitor.leave();
});

test("whoever gets an exercise by a link sees what is asked, at once", async () => {
  const teacher = await station.visitor();
  const driver = new PageDriver(await teacher.open());
  await driver.openExample("Dusk lamp");
  await driver.button("File").click();
  await driver.page.getByRole("button", { name: "Exercise for others…" }).click();
  await driver.dialog.getByRole("button", { name: "Make an exercise of this plan" }).click();
  await driver.dialog.getByLabel("What is to be done, in plain words").fill("Keep the lamp lit.");
  await driver.dialog.getByRole("button", { name: "Close" }).click();
  const link = await driver.copyLink();
  const learner = await station.visitor({ size: { width: 390, height: 844 }, touch: true });
  const page = await learner.open(new URL(link).hash);
  const exercise = page.locator(".exercise-page");
  await exercise.getByText("Keep the lamp lit.").waitFor();
  await exercise.getByRole("button", { name: "Check my plan" }).tap();
  await exercise.locator(".exercise-verdict.kept").waitFor();
  // A name is no change of the plan.
  await exercise.getByLabel("Your name").fill("Tern");
  await exercise.getByLabel("Your name").blur();
  await page.waitForTimeout(300);
  assert.equal(await exercise.getByText(/^As of the plan before/).count(), 0);
  await page.reload();
  await exercise.getByText("Keep the lamp lit.").waitFor({ state: "attached" });
  await learner.leave();
  await teacher.leave();
});
