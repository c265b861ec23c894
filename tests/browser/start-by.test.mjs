// Another time for a load: a time is asked for in its details, and what does it is listed, tried and taken.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { Station } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

test("the dusk lamp is asked to start earlier, and a change that does it is tried and taken", async () => {
  const visitor = await station.visitor();
  const driver = new PageDriver(await visitor.open());
  await driver.openExample("Kittiwake Light");
  await driver.card("Dusk lamp").click();
  const section = driver.page.getByRole("region", { name: "Another time" });
  const at = section.getByLabel("Start it at");
  const present = await at.inputValue();
  assert.match(present, /^\d\d:\d\d$/);
  await section.getByRole("button", { name: "Half an hour earlier" }).click();
  assert.notEqual(await at.inputValue(), present);
  // A time that is none is said to be none, and asked for again.
  await at.fill("25:00");
  await at.press("Enter");
  await section.getByText("Found 25:00, expected a time from 00:00 to 24:00.").waitFor();
  const [hour, minute] = present.split(":").map(Number);
  const earlier = hour * 60 + minute - 5;
  await at.fill(`${String(Math.floor(earlier / 60)).padStart(2, "0")}:${String(earlier % 60).padStart(2, "0")}`);
  await at.press("Enter");
  await section.getByRole("button", { name: "Find changes" }).click();
  const offers = section.getByRole("list", { name: "Changes that do it" }).getByRole("listitem");
  await offers.first().waitFor();
  assert.match(await offers.first().textContent(), /Dusk lamp starts at \d\d:\d\d.*, \d+ min.* earlier/);
  await section.locator("progress").waitFor({ state: "detached" });
  await offers.first().getByRole("button", { name: "Try" }).click();
  await offers.first().getByRole("button", { name: "Put back" }).click();
  await offers.first().getByRole("button", { name: "Take" }).click();
  assert.equal(await driver.undoAll(), 1);
  await visitor.leave();
});
