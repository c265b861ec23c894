import { Station } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";
const station = await Station.start();
for (const [name, visit] of [["wide", { size: { width: 1440, height: 900 } }], ["phone", { size: { width: 390, height: 844 }, touch: true }]]) {
  const visitor = await station.visitor(visit);
  const driver = new PageDriver(await visitor.open());
  if (visit.touch) { await driver.button("Menu").tap(); await driver.button("Draft a plan…").first().tap(); }
  else { await driver.page.screenshot({ path: "/tmp/d-welcome.png" }); await driver.page.locator(".welcome").getByRole("button", { name: "Draft a plan…" }).click(); }
  await driver.dialog.getByRole("button", { name: "Load the Kittiwake Light example" }).click();
  await driver.page.screenshot({ path: `/tmp/d-${name}-0.png` });
  await driver.dialog.getByRole("button", { name: "Draft", exact: true }).click();
  const t = Date.now();
  await driver.dialog.getByRole("radio", { name: "Plan 1", exact: true }).waitFor({ timeout: 120000 });
  console.log(name, "first plan", Date.now() - t);
  await driver.dialog.getByText(/^(All circuits of the pieces|There are more circuits)/).waitFor({ timeout: 200000 });
  console.log(name, "all", Date.now() - t);
  if (visit.touch) await driver.dialog.getByRole("button", { name: "To the plans" }).tap();
  await driver.page.waitForTimeout(300);
  await driver.page.screenshot({ path: `/tmp/d-${name}-1.png` });
  await driver.dialog.locator(".draft-chosen").scrollIntoViewIfNeeded();
  await driver.page.screenshot({ path: `/tmp/d-${name}-2.png` });
  await driver.dialog.getByText("What is dear").scrollIntoViewIfNeeded();
  await driver.page.screenshot({ path: `/tmp/d-${name}-3.png` });
  await visitor.leave();
}
await station.stop();
