// The page's content security policy: what a stranger's code would need is refused, and the page itself needs none of it.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { Station, expect } from "./harness.mjs";
import { PageDriver } from "./page-driver.mjs";

let station;
before(async () => { station = await Station.start(); });
after(() => station?.stop());

/** A visitor whose tabs note every violation of the policy, from the first line of the page on. */
async function watched(options) {
  const visitor = await station.visitor(options);
  await visitor.context.addInitScript(() => {
    window.violations = [];
    document.addEventListener("securitypolicyviolation", (event) => window.violations.push(`${event.effectiveDirective} ${event.blockedURI}`));
  });
  return visitor;
}

const violations = (page) => page.evaluate(() => window.violations);

/** Does `act` in the page and waits until a violation of `directive` is told. */
async function isRefused(page, directive, act, argument) {
  const before = (await violations(page)).length;
  await page.evaluate(act, argument);
  await expect(async () => {
    const told = (await violations(page)).slice(before);
    assert.ok(told.some((one) => one.startsWith(directive)), `${directive}: ${told.join() || "nothing told"}`);
  });
}

test("the finished page names its own origin and the hashes of its scripts, and nothing looser", async () => {
  const text = await readFile(`${station.folder}/index.html`, "utf8");
  const [, policy] = text.match(/<meta http-equiv="Content-Security-Policy" content="([^"]*)">/);
  const said = Object.fromEntries(policy.split("; ").map((line) => [line.split(" ")[0], line.split(" ").slice(1)]));
  assert.deepEqual(said["default-src"], ["'none'"]);
  const scripts = text.match(/<script[^>]*>/g).filter((tag) => !tag.includes(" src="));
  assert.equal(said["script-src"].filter((one) => one.startsWith("'sha256-")).length, scripts.length);
  assert.deepEqual(said["script-src"].filter((one) => !one.startsWith("'sha256-")), ["'self'", "'wasm-unsafe-eval'"]);
  // A picture that the page has drawn is shown from memory; nothing else comes from there.
  assert.deepEqual(said["img-src"], ["'self'", "blob:"]);
  for (const [directive, sources] of Object.entries(said)) {
    for (const one of sources.filter((one) => directive !== "img-src" || one !== "blob:")) assert.match(one, directive === "style-src-attr" ? /^'unsafe-inline'$/ : /^'(none|self|wasm-unsafe-eval|sha256-.*)'$/, directive);
  }
  assert.ok(text.indexOf("Content-Security-Policy") < text.search(/<(script|style|link)/), "nothing comes before the policy");
});

test("foreign code, eval, foreign addresses and frames are refused", async () => {
  const visitor = await watched();
  const page = await visitor.open();
  // Another port is another origin; nobody needs to listen there.
  const foreign = "http://127.0.0.1:9/";
  await isRefused(page, "script-src", () => {
    const script = document.createElement("script");
    script.textContent = "window.ran = true";
    document.head.append(script);
  });
  await isRefused(page, "script-src", () => {
    const box = document.createElement("div");
    box.innerHTML = '<img src="nothing-here.png" onerror="window.ran = true">';
    document.body.append(box);
  });
  await isRefused(page, "script-src", (from) => {
    const script = document.createElement("script");
    script.src = `${from}x.js`;
    document.head.append(script);
  }, foreign);
  // What a debugger evaluates may use eval; what the page does on its own may not.
  await isRefused(page, "script-src", () => new Promise((done) => setTimeout(() => {
    try { window.eval("window.ran = true"); } catch (error) { window.thrown = error.name; }
    done();
  })));
  assert.equal(await page.evaluate(() => window.thrown), "EvalError");
  await isRefused(page, "style-src", () => {
    const style = document.createElement("style");
    style.textContent = "body { display: none }";
    document.head.append(style);
  });
  await isRefused(page, "connect-src", (from) => fetch(from).catch(() => {}), foreign);
  await isRefused(page, "img-src", (from) => { new Image().src = `${from}x.png`; }, foreign);
  await isRefused(page, "frame-src", (from) => {
    const frame = document.createElement("iframe");
    frame.src = from;
    document.body.append(frame);
  }, foreign);
  await isRefused(page, "worker-src", () => {
    try { new Worker(URL.createObjectURL(new Blob(["1"]))); } catch { /* An older way to refuse. */ }
  });
  await isRefused(page, "base-uri", (from) => {
    const base = document.createElement("base");
    base.href = from;
    document.head.append(base);
  }, foreign);
  assert.equal(await page.evaluate(() => window.ran), undefined);
  visitor.expectFaults(/Content Security Policy|not fetched|404|ERR_BLOCKED_BY_CSP|EvalError/i);
  await visitor.leave();
});

test("the page itself breaks nothing of it: parts, wires, charts, worker, link, file, offline", async () => {
  const visitor = await watched({ offline: true });
  const driver = new PageDriver(await visitor.open());
  await driver.buildDuskLamp();
  await driver.setTime("Midnight");
  await driver.readsOnWire("Battery", "out", "5 / 20");
  await driver.newPlan();
  await driver.openExample("Kittiwake Light");
  await driver.openLogPage("Losses");
  await driver.log.getByText(/^Survives \d+ of \d+ single losses\.$/).waitFor({ timeout: 60_000 });
  await driver.copyLink();
  const download = driver.page.waitForEvent("download");
  await driver.button("File").click();
  await driver.button("Save as a file").click();
  assert.equal(JSON.parse(await readFile(await (await download).path(), "utf8")).format, "duskline/plan");
  await driver.openLogPage("Day");
  // What the chart places by a `style` attribute stands where it should.
  const ticks = await driver.log.locator(".tick").evaluateAll((all) => all.map((tick) => tick.getBoundingClientRect().left));
  assert.ok(new Set(ticks).size > 2, ticks.join());
  await driver.page.evaluate(async () => { await navigator.serviceWorker.ready; await document.fonts.ready; });
  assert.deepEqual(await violations(driver.page), []);
  await visitor.leave();
});
