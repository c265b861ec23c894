// Switches thrown and buttons pressed on the board, at the moment shown.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

const PLAN = {
  format: "duskline/plan", version: 1, title: "Door", book: "outpost",
  parts: [
    { id: "p1", type: "generator" }, { id: "p2", type: "switch", name: "Door switch" }, { id: "p3", type: "lamp" },
  ],
  wires: [{ id: "w1", from: "p1.out", to: "p2.feed" }, { id: "w2", from: "p2.out", to: "p3.in" }],
};

async function opened(options) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  await driver.openFile(PLAN);
  await driver.hasCounts(3, 2);
  await driver.setTime("Noon");
  await driver.card("Lamp: off").waitFor();
  return [visitor, driver];
}

/** The middle of the symbol that a click throws. */
async function symbol(driver, name) {
  const box = await driver.card(name).locator(".throw").boundingBox();
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

test("a click on a switch's symbol throws it, the day goes on from there, and it can be put back or taken", async () => {
  const [visitor, driver] = await opened();
  const trial = driver.page.locator(".trial");
  const at = await symbol(driver, "Door switch");
  await driver.page.mouse.click(at.x, at.y);
  await driver.card("Lamp: runs").waitFor();
  await trial.getByText("Door switch closed by hand at 12:00").waitFor();
  await assertAccessible(driver.page);
  // Before it was thrown all is as it was, and the chart knows when the lamp begins.
  await driver.setTime("Dawn");
  await driver.card("Lamp: off").waitFor();
  await expect(async () => assert.deepEqual(await driver.bars("Lamp", "runs"), [[500, 1000]]));

  await trial.getByRole("button", { name: "Back to the plan" }).click();
  await driver.setTime("Noon");
  await driver.card("Lamp: off").waitFor();

  await driver.card("Door switch").focus();
  await driver.page.keyboard.press("Enter");
  await driver.card("Lamp: runs").waitFor();
  await trial.getByRole("button", { name: "Take" }).click();
  await driver.card("Lamp: runs").waitFor();
  await trial.waitFor({ state: "detached" });
  const schedule = (plans) => plans.find((plan) => plan.title === "Door" && plan.parts)?.parts[1].set?.schedule;
  await expect(async () => assert.deepEqual(schedule(Object.values(await driver.kept())), [["12:00", true]]));
  await visitor.leave();
});

test("a tap throws it too, and a double click still renames", async () => {
  const [visitor, driver] = await opened();
  const at = await symbol(driver, "Door switch");
  await driver.page.mouse.dblclick(at.x, at.y);
  await driver.page.locator(".rename").waitFor();
  await driver.page.keyboard.press("Escape");
  await driver.card("Lamp: off").waitFor();
  await visitor.leave();

  const [finger, phone] = await opened({ size: { width: 390, height: 844 }, touch: true });
  await phone.page.getByRole("button", { name: "Fit" }).tap();
  for (let i = 0; i < 8 && !(await phone.card("Door switch").locator(".throw").count()); i += 1) {
    await phone.page.getByRole("button", { name: "Larger" }).tap();
  }
  const there = await symbol(phone, "Door switch");
  await phone.page.touchscreen.tap(there.x, there.y);
  await phone.page.locator(".trial").getByText("Door switch closed by hand").waitFor();
  await finger.leave();
});

test("with the whole plan in view a click throws a switch, and the same click again puts it back", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  const trial = driver.page.locator(".trial");
  const at = await symbol(driver, "Causeway switch");
  await driver.page.mouse.click(at.x, at.y);
  await trial.getByText("Causeway switch opened by hand at 12:00").waitFor();
  // The line of what is tried takes room from the board, and the switch stays under the pointer.
  await driver.page.mouse.click(at.x, at.y);
  await trial.waitFor({ state: "detached" });
  await visitor.leave();
});
