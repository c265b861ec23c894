// Drafting: what is wanted is said in the words of duties, plans that do it stand in a table, and one is opened and kept.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** The window, over an empty board. */
async function opened(visit = {}) {
  const visitor = await station.visitor(visit);
  const driver = new PageDriver(await visitor.open());
  if (visit.touch) {
    await driver.button("Menu").tap();
    await driver.button("Draft a plan…").first().tap();
  } else {
    await driver.page.locator(".welcome").getByRole("button", { name: "Draft a plan…" }).click();
  }
  await driver.dialog.getByRole("heading", { name: "What is wanted", exact: true }).waitFor();
  return { visitor, driver };
}

const entry = (driver, want, label) => driver.dialog.getByRole("group", { name: want, exact: true }).getByLabel(label, { exact: true });
const plan = (driver, number) => driver.dialog.getByRole("radio", { name: `Plan ${number}`, exact: true });
const searched = (driver) => driver.dialog.getByText(/^(Every circuit of the kinds|There are more circuits)/);

/** A lamp in the dark and nothing else, of one panel and one battery. */
async function askForLamp(driver) {
  const { dialog } = driver;
  await dialog.getByRole("combobox", { name: "Add a load" }).selectOption({ label: "Lamp" });
  await dialog.getByRole("button", { name: "Add a load: add it" }).click();
  await entry(driver, "Lamp", "Must run").selectOption("dark");
}

async function only(driver, group, kind, most) {
  const { dialog } = driver;
  await dialog.getByLabel(group, { exact: true }).selectOption("only");
  await dialog.getByRole("combobox", { name: `Add to ${group.toLowerCase()}` }).selectOption({ label: kind });
  await dialog.getByRole("button", { name: `Add to ${group.toLowerCase()}: add it` }).click();
  const field = dialog.getByLabel(`${kind}: at most`, { exact: true });
  await field.fill(most);
  await field.press("Enter");
}

test("A lamp in the dark is asked for, drafted, opened as a plan and keeps its duty", async () => {
  const { visitor, driver } = await opened();
  const { dialog } = driver;
  assert.equal(await dialog.getByRole("button", { name: "Draft", exact: true }).isDisabled(), true);
  await askForLamp(driver);
  await only(driver, "Sources", "Sun panel", "");
  await dialog.getByRole("button", { name: "Draft", exact: true }).click();
  await plan(driver, 1).waitFor();
  await searched(driver).waitFor({ timeout: 60_000 });
  await dialog.getByText("Why each part is there: what happens to the duties without it").waitFor();
  const why = dialog.getByRole("row", { name: /Sun panel breaks the duty of Lamp/ });
  await why.first().waitFor();
  await assertAccessible(driver.page);
  await dialog.getByRole("button", { name: "Open as another plan" }).click();
  await driver.card("Lamp").waitFor();
  await driver.page.locator(".verdict.kept").waitFor();
  assert.equal(await driver.page.getByLabel("Title of the plan").inputValue(), "Draft 1");
  await visitor.leave();
});

test("What can't be had is told, with what stands in the way and changes that help; taking one gives plans", async () => {
  const { visitor, driver } = await opened();
  const { dialog } = driver;
  await askForLamp(driver);
  await only(driver, "Sources", "Sun panel", "1");
  await only(driver, "Batteries", "Battery", "0");
  await dialog.getByRole("button", { name: "Draft", exact: true }).click();
  await dialog.getByText(/^Nothing does what is asked/).first().waitFor({ timeout: 60_000 });
  await dialog.getByText("no Battery may be used").waitFor();
  const change = dialog.getByRole("listitem").filter({ hasText: "If up to 1 × Battery may be used" });
  await change.getByRole("button", { name: "Change the order so" }).click();
  await plan(driver, 1).waitFor({ timeout: 60_000 });
  assert.equal(await dialog.getByLabel("Battery: at most", { exact: true }).inputValue(), "1");
  await visitor.leave();
});

test("The order outlasts a reload; another in its place can be taken back; the answer outlasts the opening of a plan", async () => {
  const { visitor, driver } = await opened();
  const { dialog } = driver;
  await askForLamp(driver);
  await entry(driver, "Lamp", "Name").fill("Stair lamp");
  await entry(driver, "Lamp", "Name").press("Enter");
  await driver.page.reload();
  await driver.page.locator(".welcome").getByRole("button", { name: "Draft a plan…" }).click();
  assert.equal(await entry(driver, "Stair lamp", "Must run").inputValue(), "dark");
  await dialog.getByRole("button", { name: "Load the Kittiwake Light example" }).click();
  await dialog.getByRole("group", { name: "Bunk heater", exact: true }).waitFor();
  await dialog.getByRole("button", { name: "Put it back" }).click();
  await expect(async () => assert.equal(await dialog.getByRole("group", { name: "Bunk heater" }).count(), 0));
  await only(driver, "Sources", "Sun panel", "");
  await dialog.getByRole("button", { name: "Draft", exact: true }).click();
  await searched(driver).waitFor({ timeout: 60_000 });
  await dialog.getByRole("button", { name: "Open as another plan" }).click();
  await driver.card("Stair lamp").waitFor();
  await driver.button("File").click();
  await driver.button("Draft a plan…").click();
  await plan(driver, 1).waitFor();
  await dialog.getByRole("button", { name: "Compare with the open plan" }).click();
  await driver.page.getByRole("heading", { name: "What differs" }).waitFor();
  await visitor.leave();
});

test("The open plan is completed: what stands in it stays, and what is missing is added", async () => {
  const { visitor, driver } = await opened();
  const { dialog } = driver;
  await askForLamp(driver);
  await only(driver, "Sources", "Sun panel", "");
  await dialog.getByRole("button", { name: "Draft", exact: true }).click();
  await searched(driver).waitFor({ timeout: 60_000 });
  await dialog.getByRole("button", { name: "Open as another plan" }).click();
  await driver.card("Sun panel").first().waitFor();
  // Without its wires and its panel the lamp's duty is broken.
  await driver.card("Sun panel").first().click();
  await driver.page.keyboard.press("Delete");
  await driver.button("File").click();
  await driver.button("Draft a plan…").click();
  await dialog.getByRole("checkbox", { name: /Complete the open plan/ }).check();
  await dialog.getByRole("button", { name: "Draft", exact: true }).click();
  await searched(driver).waitFor({ timeout: 60_000 });
  await plan(driver, 1).waitFor();
  await dialog.getByRole("button", { name: "Try it on the board" }).click();
  await driver.page.getByText(/^Shown as a trial: Draft 1/).first().waitFor();
  await driver.card("Sun panel").first().waitFor();
  await visitor.leave();
});

test("On a phone an order is given and answered by touch", async () => {
  const { visitor, driver } = await opened({ size: { width: 390, height: 844 }, touch: true });
  const { dialog } = driver;
  await askForLamp(driver);
  await only(driver, "Sources", "Sun panel", "");
  await dialog.getByRole("button", { name: "To the plans" }).tap();
  await dialog.getByRole("button", { name: "Draft", exact: true }).tap();
  await searched(driver).waitFor({ timeout: 60_000 });
  const wide = await driver.page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 390, `the page is ${wide} wide`);
  await assertAccessible(driver.page);
  await dialog.getByRole("button", { name: "Open as another plan" }).tap();
  await driver.card("Lamp").waitFor();
  await visitor.leave();
});
