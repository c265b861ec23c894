// The acts that are measured, each as many rounds on one tab.

import { Cost } from "./meter.mjs";
import { cardInView, emptyPlace, middleOf } from "./tab.mjs";

/** Moves of the mouse in a zigzag that stays near where it began, pixels of the window. */
const zigzag = (from, round) => [from.x + 12 * (1 + (round % 6)), from.y + 12 * (1 + (Math.floor(round / 2) % 4))];

async function pulled(tab, from, rounds) {
  const { mouse } = tab.page;
  await mouse.move(from.x, from.y);
  await mouse.down();
  await mouse.move(from.x + 6, from.y + 6);
  const cost = await tab.meter.rounds(rounds, async (round) => { await mouse.move(...zigzag(from, round)); });
  await mouse.move(from.x, from.y);
  await mouse.up();
  return cost;
}

/** One move of a dragged card. */
export async function drag(tab, rounds) {
  return pulled(tab, await cardInView(tab), rounds);
}

/** One move of a pan. */
export async function pan(tab, rounds) {
  return pulled(tab, await emptyPlace(tab), rounds);
}

/** One step of the wheel, by turns larger and smaller. */
export async function zoom(tab, rounds) {
  const at = await middleOf(tab);
  await tab.page.mouse.move(at.x, at.y);
  return tab.meter.rounds(rounds, async (round) => { await tab.page.mouse.wheel(0, round % 2 ? 100 : -100); });
}

/** One arrow key on a chosen card, there and back. */
export async function nudge(tab, rounds) {
  const card = await cardInView(tab);
  await tab.page.mouse.click(card.x, card.y);
  await tab.meter.frames(4);
  const places = () => tab.page.evaluate((card) => [...document.querySelectorAll(card)].map((e) => e.querySelector("rect.ground")?.outerHTML ?? e.style.transform).join(), tab.card);
  const before = await places();
  const cost = await tab.meter.rounds(rounds - (rounds % 2) - 1, async (round) => { await tab.page.keyboard.press(round % 2 ? "ArrowLeft" : "ArrowRight"); });
  await tab.meter.frames(4);
  if (before === await places()) throw new Error("the arrow key moved nothing");
  return cost;
}

/** One name given to a chosen part, until the board says it. */
export async function rename(tab, rounds) {
  const card = await cardInView(tab, "Panel");
  await tab.page.mouse.click(card.x, card.y);
  return filled(tab, rounds, "Name", (round) => `Panel, ${round} times`, (name) => tab.page.waitForFunction(
    ([id, name]) => document.querySelector(`g.card[data-part="${id}"]`)?.getAttribute("aria-label").startsWith(name),
    [card.id, name], { polling: "raf" },
  ));
}

/** One name given through the library's state. */
export async function renameInLibrary(tab, rounds) {
  const card = await cardInView(tab);
  return tab.meter.rounds(rounds, (round) => tab.rename(card.id, `Panel, ${round} times`));
}

/** How many panels a chosen one stands for, until the details tell of it. */
export async function power(tab, rounds) {
  const card = await cardInView(tab, "Panel");
  await tab.page.mouse.click(card.x, card.y);
  let before = await tab.says();
  return filled(tab, rounds, "How many", (round) => String(2 + (round % 2)), async () => {
    await tab.annotated(before);
    before = await tab.says();
  });
}

/** Rounds of a field filled beforehand and entered, until `done`. */
async function filled(tab, rounds, label, text, done) {
  const cost = new Cost();
  await tab.details.getByLabel(label, { exact: true }).waitFor();
  for (let round = 0; round < rounds; round += 1) {
    const enter = await tab.fill(label, text(round));
    await tab.meter.act(cost, async () => {
      await enter();
      await done(text(round));
    });
  }
  return cost;
}

/** Nothing at all, for what measuring itself costs. */
export async function nothing(tab, rounds) {
  return tab.meter.rounds(rounds, async () => {});
}
