// Pictures for others: chosen, looked at, saved as SVG, PNG and film.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(async () => { await station?.stop(); });

async function opened(example, options) {
  const visitor = await station.visitor(options);
  const driver = new PageDriver(await visitor.open());
  await driver.openExample(example);
  const { page } = driver;
  await page.keyboard.press("p");
  const dialog = page.getByRole("dialog", { name: "A picture of this plan" });
  await dialog.locator("img.picture-shown").waitFor();
  return { visitor, page, dialog };
}

/** The file that a press of a button hands over, as bytes, and its name. */
async function saved(page, button) {
  const [download] = await Promise.all([page.waitForEvent("download", { timeout: 30_000 }), button.click()]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

test("the board is drawn, with what it is sized, and saved as SVG and PNG", async () => {
  const { visitor, page, dialog } = await opened("Dusk lamp");
  await assertAccessible(page);
  const svg = await saved(page, dialog.getByRole("button", { name: "Save as SVG" }));
  assert.equal(svg.name, "Dusk lamp.svg");
  const text = svg.bytes.toString("utf8");
  assert.match(text, /^<(\?xml|svg)/);
  assert.match(text, /Dusk lamp/);
  const [, wide, high] = (await dialog.getByText(/^\d+ by \d+ pixels\.$/).innerText()).match(/(\d+) by (\d+)/);
  const png = await saved(page, dialog.getByRole("button", { name: "Save as PNG" }));
  assert.equal(png.name, "Dusk lamp.png");
  // A PNG's head has its width and height as big-endian numbers at bytes 16 and 20 (ISO/IEC 15948, 11.2.2).
  assert.equal(png.bytes.toString("latin1", 1, 4), "PNG");
  assert.deepEqual([png.bytes.readUInt32BE(16), png.bytes.readUInt32BE(20)], [Number(wide), Number(high)]);
  assert.ok(png.bytes.length > 10_000, `${png.bytes.length} bytes`);
  await visitor.leave();
});

test("what is chosen is in the picture: theme, size, title, legend, what is shown", async () => {
  const { visitor, page, dialog } = await opened("Kittiwake Light");
  const text = async () => (await saved(page, dialog.getByRole("button", { name: "Save as SVG" }))).bytes.toString("utf8");
  const size = () => dialog.getByText(/^\d+ by \d+ pixels\.$/).innerText();
  await dialog.getByLabel("Size").selectOption({ label: "Thumbnail, 640 by 360 pixels" });
  await expect(async () => assert.equal(await size(), "640 by 360 pixels."));
  await dialog.getByLabel("Title").fill("The light, for <b>friends</b>");
  await dialog.getByLabel("Title").press("Enter");
  await dialog.getByLabel("Size").selectOption({ label: "Page, 1600 pixels wide" });
  await expect(async () => assert.match(await size(), /^1600 by/));
  await expect(async () => assert.match(await text(), /The light, for &lt;b(&gt;|>)friends/));
  const legend = "power flows; the heavier, the more";
  await expect(async () => assert.ok((await text()).includes(legend)));
  await dialog.getByLabel("Say what the signs mean").uncheck();
  await expect(async () => assert.ok(!(await text()).includes(legend)));
  // The day has a lane a part and no card; the site has storeys.
  assert.match(await text(), /class="card/);
  await dialog.getByRole("radio", { name: "The day chart" }).check();
  await expect(async () => {
    const day = await text();
    assert.match(day, /class="day-picture/);
    assert.doesNotMatch(day, /class="card/);
  });
  await dialog.getByRole("radio", { name: "The site" }).check();
  await expect(async () => assert.match(await text(), /class="site-part/));
  await dialog.getByLabel("Colours").selectOption({ label: "No ground, light ink" });
  await dialog.locator("img.on-dark").waitFor();
  await visitor.leave();
});

test("a picture is of the plan as it is now, also where only its title and a card's place are others", async () => {
  const { visitor, page, dialog } = await opened("Dusk lamp");
  const text = async () => (await saved(page, dialog.getByRole("button", { name: "Save as SVG" }))).bytes.toString("utf8");
  const before = await text();
  await dialog.getByRole("button", { name: "Close" }).click();
  await page.getByLabel("Title of the plan").fill("Dawn lamp");
  await page.getByLabel("Title of the plan").press("Enter");
  const card = await page.locator("g.card").first().boundingBox();
  await page.mouse.move(card.x + 60, card.y + 12);
  await page.mouse.down();
  await page.mouse.move(card.x + 60, card.y + 140, { steps: 6 });
  await page.mouse.up();
  await page.keyboard.press("p");
  await dialog.locator("img.picture-shown").waitFor();
  await expect(async () => {
    const now = await text();
    assert.match(now, /Dawn lamp/);
    const view = (svg) => svg.match(/viewBox="[^"]*"/g).join();
    assert.notEqual(view(now), view(before));
  });
  await visitor.leave();
});

test("a day is recorded as a film, and the moving SVG moves by itself", async () => {
  const { visitor, page, dialog } = await opened("Dusk lamp");
  await dialog.getByLabel("The board over a whole day, moving").check();
  const seconds = dialog.getByLabel("Seconds for the day");
  await seconds.fill("1");
  await seconds.press("Enter");
  await expect(async () => assert.equal(await seconds.inputValue(), "30"));
  await seconds.fill("5");
  await seconds.press("Enter");
  const moving = (await saved(page, dialog.getByRole("button", { name: "Save as SVG" }))).bytes.toString("utf8");
  assert.match(moving, /<(animate|set)/);
  const film = await saved(page, dialog.getByRole("button", { name: "Record as WebM" }));
  assert.equal(film.name, "Dusk lamp.film.webm");
  // A WebM file begins as EBML does (RFC 8794, 11.2.1).
  assert.equal(film.bytes.toString("hex", 0, 4), "1a45dfa3");
  assert.ok(film.bytes.length > 10_000, `${film.bytes.length} bytes`);
  await visitor.leave();
});

test("it fits a phone, by touch", async () => {
  const { visitor, page } = await (async () => {
    const visitor = await station.visitor({ size: { width: 390, height: 844 }, touch: true });
    const driver = new PageDriver(await visitor.open());
    await driver.openExample("Dusk lamp");
    await driver.page.getByRole("button", { name: "Menu" }).tap();
    await driver.page.getByRole("button", { name: "Picture…" }).tap();
    return { visitor, page: driver.page };
  })();
  const picture = page.locator("img.picture-shown");
  await picture.waitFor();
  const wide = await page.getByRole("dialog", { name: "A picture of this plan" }).evaluate((dialog) => dialog.scrollWidth - dialog.clientWidth);
  assert.equal(wide, 0, `the dialog is ${wide} wider than it is`);
  // The picture and what saves it are seen before the choice, which is longer than the screen.
  for (const first of [picture, page.getByRole("button", { name: "Save as SVG" })]) {
    const box = await first.boundingBox();
    assert.ok(box.y >= 0 && box.y + box.height <= 844, JSON.stringify(box));
  }
  await assertAccessible(page);
  await visitor.leave();
});
