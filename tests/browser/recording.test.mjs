// The view for a recording: on and off by one key, without tools, in large type; its keys, caption, buttons and small window.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(async () => { await station?.stop(); });

async function recorded(options) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  await driver.page.keyboard.press("v");
  await driver.page.locator("section.stage .chart").waitFor();
  return { visitor, driver, page: driver.page };
}

/** The sizes of all names on the board, in pixels of the screen. */
const namesOf = (driver) => driver.paper.locator("g.card text.name").evaluateAll((all) =>
  all.map((name) => parseFloat(getComputedStyle(name).fontSize) * name.getScreenCTM().a));

for (const size of [{ width: 1440, height: 900 }, { width: 1920, height: 1080 }]) {
  test(`board and chart fill a frame of 16:9 without tools at ${size.width} × ${size.height}`, async () => {
    const { visitor, driver, page } = await recorded({ size });
    await expect(async () => {
      const frame = await page.locator(".frame").boundingBox();
      assert.ok(Math.abs(frame.width / frame.height - 16 / 9) < 0.01, JSON.stringify(frame));
      assert.ok(frame.width === size.width || frame.height === size.height, JSON.stringify(frame));
    });
    for (const away of ["header.bar", "aside.shelf", "aside.details", "section.log", "section.dial", ".board-tools"]) {
      assert.ok(!(await page.locator(away).first().isVisible()), away);
    }
    await expect(async () => {
      const names = await namesOf(driver);
      assert.ok(names.length > 20 && names.every((size) => size >= 11), `${Math.min(...names)} px`);
    });
    await assertAccessible(page);
    await page.keyboard.press("Escape");
    await page.locator("header.bar").waitFor();
    assert.ok(await page.locator(".board-tools").first().isVisible());
    await visitor.leave();
  });
}

test("a small plan fills the frame in large type", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.page.keyboard.press("v");
  await driver.page.locator("section.stage .chart").waitFor();
  await expect(async () => {
    const names = await namesOf(driver);
    assert.ok(names.length > 3 && names.every((size) => size >= 13), `${names}`);
  });
  await driver.page.keyboard.press("v");
  await driver.page.locator("header.bar").waitFor();
  await visitor.leave();
});

test("keys step through the events, play and stop, and the caption tells what happens", async () => {
  const { visitor, page } = await recorded();
  const caption = page.locator(".stage-caption");
  const time = () => caption.locator(".stage-time").innerText();
  await page.keyboard.press("Home");
  await expect(async () => assert.match(await time(), /^00:00/));
  await page.keyboard.press("ArrowRight");
  await caption.getByText(/ (opens|closes|starts|stops)\./).first().waitFor();
  const first = await time();
  // Several things happen in one second, one after the other.
  for (let n = 0; n < 3; n += 1) await page.keyboard.press("ArrowRight");
  await expect(async () => assert.notEqual(await time(), first));
  for (let n = 0; n < 3; n += 1) await page.keyboard.press("ArrowLeft");
  await expect(async () => assert.equal(await time(), first));
  await page.keyboard.press("Space");
  await expect(async () => assert.notEqual(await time(), first));
  await page.keyboard.press("Space");
  await page.getByRole("group", { name: "Recording" }).getByRole("button", { name: "Play" }).waitFor();
  const stopped = await time();
  await page.waitForTimeout(300);
  assert.equal(await time(), stopped);
  await visitor.leave();
});

test("a press on the board leaves the keys with the recording, and changes nothing of the plan", async () => {
  const { visitor, page } = await recorded();
  const time = () => page.locator(".stage-time").innerText();
  await page.keyboard.press("Home");
  await expect(async () => assert.match(await time(), /^00:00/));
  await page.mouse.click(700, 200);
  await expect(async () => assert.ok(await page.evaluate(() => document.activeElement.closest(".stage"))));
  await page.keyboard.press("Delete");
  await page.keyboard.press("b");
  await page.keyboard.press("ArrowRight");
  await expect(async () => assert.doesNotMatch(await time(), /^00:00/));
  assert.equal(await page.locator("dialog[open]").count(), 0);
  await page.keyboard.press("Escape");
  await page.locator("header.bar").waitFor();
  assert.equal(await page.locator("g.card").count(), 33);
  await visitor.leave();
});

test("a small window shows board and caption, follows the moment, and closes with the recording", async () => {
  const { visitor, page } = await recorded();
  const button = page.locator(".stage-tools").getByRole("button", { name: "Small window" });
  const is_known = await page.evaluate(() => "documentPictureInPicture" in window);
  if (!is_known) {
    assert.equal(await button.count(), 0, "a browser without such windows offers none");
    return visitor.leave();
  }
  await page.mouse.move(300, 300);
  await button.click();
  const small = (read) => page.evaluate((read) => {
    const there = documentPictureInPicture.window?.document;
    return there ? [there.querySelectorAll(".small-picture g.card").length, there.querySelector(".small-caption").textContent][read] : null;
  }, read);
  await expect(async () => assert.equal(await small(0), 33));
  await page.locator("section.stage").focus();
  await page.keyboard.press("Home");
  await expect(async () => assert.match(await small(1), /^00:00/));
  await page.keyboard.press("Escape");
  await page.locator("header.bar").waitFor();
  await expect(async () => assert.equal(await small(0), null));
  await visitor.leave();
});

test("the buttons go away with the pointer at rest, and come with it and with the keyboard", async () => {
  const { visitor, page } = await recorded();
  const tools = page.locator(".stage-tools");
  const opacity = () => tools.evaluate((e) => getComputedStyle(e).opacity);
  await expect(async () => assert.equal(await opacity(), "0"));
  await page.mouse.move(300, 300);
  await page.mouse.move(320, 300);
  await expect(async () => assert.equal(await opacity(), "1"));
  await expect(async () => assert.equal(await opacity(), "0"));
  await page.keyboard.press("Tab");
  await expect(async () => assert.equal(await opacity(), "1"));
  await tools.getByRole("button", { name: "End" }).press("Enter");
  await page.locator("header.bar").waitFor();
  await visitor.leave();
});

test("it fits a phone held across, by touch", async () => {
  const { visitor, page } = await recorded({ size: { width: 844, height: 390 }, touch: true });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 844, `the page is ${wide} wide`);
  await page.touchscreen.tap(300, 100);
  const end = page.locator(".stage-tools").getByRole("button", { name: "End" });
  const box = await end.boundingBox();
  assert.ok(box.height >= 44, `${box.height}`);
  await end.tap();
  await page.locator("header.bar").waitFor();
  await visitor.leave();
});
