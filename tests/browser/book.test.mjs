// The plan's book: a number changed, with what it does to the duties while it is typed; a type added, copied, deleted; a
// table pasted from a spreadsheet; another book; all of it a step that can be taken back.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Station, assertAccessible, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** A visitor with the example of the dusk lamp and its book open. */
async function withBook() {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Dusk lamp");
  await driver.button("Book…").click();
  await driver.dialog.getByRole("button", { name: "Lamp", exact: true }).click();
  return { visitor, driver, form: driver.dialog.getByRole("region", { name: "The part type" }) };
}

const close = async (driver) => {
  await driver.dialog.getByRole("button", { name: "Close", exact: true }).click();
  await driver.dialog.waitFor({ state: "hidden" });
};

const draws = (form) => form.getByRole("textbox", { name: "Draws" });

test("a number is changed, tried on the duties while it is typed, and taken back", async () => {
  const { visitor, driver, form } = await withBook();
  assert.equal(await draws(form).inputValue(), "2");
  await assertAccessible(driver.page);
  await draws(form).fill("200");
  const tried = driver.dialog.getByRole("region", { name: "What this changes" });
  await tried.getByText(/Dusk lamp, while it is dark: broken, .*, first .* Now: kept for ever/).first().waitFor();
  await draws(form).press("Enter");
  await tried.waitFor({ state: "detached" });
  await driver.dialog.getByText("It is this plan's own").waitFor();
  await close(driver);
  const verdict = driver.page.locator(".verdict-line");
  await verdict.getByText(/^1 of 2 duties kept/).waitFor();
  await driver.button("Undo").click();
  await verdict.getByText(/^All 2 duties kept/).waitFor();
  await driver.button("Book…").click();
  await driver.dialog.getByText("It comes with Duskline").waitFor();
  await visitor.leave();
});

test("a type that another plan of the same world has parts of is deleted after a question that names the plan", async () => {
  const { visitor, driver } = await withBook();
  await close(driver);
  await driver.button("Worlds…").click();
  await driver.dialog.getByRole("textbox", { name: "Keep its numbers as a world called" }).fill("Sands");
  await driver.page.keyboard.press("Enter");
  await driver.dialog.getByRole("button", { name: "New plan in Sands" }).click();
  await driver.placePart("Fan", [0.5, 0.4]);
  await driver.setTitle("Second");
  await driver.isKept();
  await driver.button("Book…").click();
  const form = driver.dialog.getByRole("region", { name: "The part type" });
  const choose = (label) => driver.dialog.getByRole("button", { name: label, exact: true }).click();
  // Nobody has parts of it: it goes at once.
  await choose("Freezer");
  await form.getByRole("button", { name: "Delete it" }).click();
  await driver.dialog.getByRole("button", { name: "Freezer", exact: true }).waitFor({ state: "detached" });
  await choose("Lamp");
  await form.getByRole("button", { name: "Delete it" }).click();
  const asked = driver.dialog.getByRole("alert");
  await asked.getByText(/^Dusk lamp has parts of the type Lamp/).waitFor();
  await assertAccessible(driver.page);
  await asked.getByRole("button", { name: "Keep" }).click();
  await driver.dialog.getByRole("button", { name: "Lamp", exact: true }).waitFor();
  await form.getByRole("button", { name: "Delete it" }).click();
  await asked.getByRole("button", { name: "Delete all the same" }).click();
  await driver.dialog.getByRole("button", { name: "Lamp", exact: true }).waitFor({ state: "detached" });
  await close(driver);
  await driver.openKept("Dusk lamp");
  await driver.hasCounts(6, 6);
  await visitor.leave();
});

test("what can't be is refused with its place, value and expectation, and nothing changes", async () => {
  const { visitor, driver, form } = await withBook();
  await draws(form).fill("0");
  await draws(form).press("Enter");
  await form.getByText(/Found “0”, expected a whole number from 1/).waitFor();
  await form.getByRole("button", { name: "Delete it" }).click();
  await driver.dialog.getByRole("alert").getByText(/is the type of Dusk lamp/).waitFor();
  await driver.dialog.getByText("It comes with Duskline").waitFor();
  await visitor.leave();
});

test("several types get a stage and a group in one step, also where the last has it already", async () => {
  const { visitor, driver } = await withBook();
  const row = (name) => driver.dialog.getByRole("row").filter({ has: driver.page.getByRole("button", { name, exact: true }) });
  for (const name of ["Lamp", "Heater", "Steady generator"]) await driver.dialog.getByRole("checkbox", { name: `Mark ${name}`, exact: true }).check();
  const marked = driver.dialog.getByRole("group", { name: "Marked part types" });
  await marked.getByLabel("stage").fill("3");
  await marked.getByRole("button", { name: "Set" }).first().click();
  for (const name of ["Lamp", "Heater", "Steady generator"]) await row(name).getByRole("cell", { name: "3", exact: true }).waitFor();
  await marked.getByLabel("stage").fill("2.5");
  await marked.getByRole("button", { name: "Set" }).first().click();
  await driver.dialog.getByRole("alert").getByText(/Found “2.5”, expected a whole number/).waitFor();
  await marked.getByRole("button", { name: "Delete" }).click();
  await driver.dialog.getByRole("alert").getByText(/is the type of/).waitFor();
  await row("Lamp").waitFor();
  await close(driver);
  await driver.button("Undo").click();
  await driver.button("Book…").click();
  await driver.dialog.getByText("It comes with Duskline").waitFor();
  await visitor.leave();
});

test("a type is copied, named and deleted; a plain one is added by what it does", async () => {
  const { visitor, driver, form } = await withBook();
  await form.getByRole("button", { name: "Copy it" }).click();
  await form.getByRole("textbox", { name: "Name", exact: true }).fill("Reading lamp");
  await form.getByRole("textbox", { name: "Name", exact: true }).press("Enter");
  await driver.dialog.getByRole("button", { name: "Reading lamp", exact: true }).waitFor();
  await form.getByRole("button", { name: "Delete it" }).click();
  await driver.dialog.getByRole("button", { name: "Reading lamp", exact: true }).waitFor({ state: "detached" });
  await driver.dialog.getByRole("combobox", { name: "New part type" }).selectOption({ index: 2 });
  await driver.dialog.getByRole("button", { name: "Add", exact: true }).click();
  await form.getByRole("heading", { level: 3 }).waitFor();
  await visitor.leave();
});

test("eight rows of a spreadsheet become the book; a damaged table is refused whole", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.button("Book…").click();
  const paste = async (text) => {
    if (!(await driver.dialog.getByRole("button", { name: "Take the table" }).isVisible())) {
      await driver.dialog.getByRole("button", { name: "Paste a table…" }).click();
    }
    await driver.dialog.locator("#book-paste").fill(text);
    await driver.dialog.getByRole("button", { name: "Take the table" }).click();
  };
  const rows = ["name\twhat it does\twatts", "Roof panel\tsun panel\t20", "Gallery turbine\twind turbine\t12", "Stair lamp\tload\t3", "Bunk heater\tload\tmany"];
  await paste(rows.join("\n"));
  await driver.dialog.getByRole("alert").getByText(/many/).waitFor();
  await driver.dialog.getByText("It comes with Duskline").waitFor();
  await paste(rows.join("\n").replace("many", "9"));
  await driver.dialog.getByRole("button", { name: "Stair lamp", exact: true }).waitFor();
  assert.equal(await driver.dialog.getByRole("row").count(), 5);
  await close(driver);
  await driver.placePart("Stair lamp", [0.4, 0.4]);
  await visitor.leave();
});

test("another book that comes with Duskline is taken where the plan's parts are in it, with its caution", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.button("Book…").click();
  await driver.dialog.getByRole("combobox", { name: "Book", exact: true }).selectOption("harbour");
  await driver.dialog.getByText(/local codes/).waitFor();
  await close(driver);
  await expect(async () => assert.match(await driver.details.textContent(), /local codes/));
  await visitor.leave();
});
