// The base of base.mjs laid out on the board: its stations in rows, there and back, so that wires from one to the next are short.

import { base } from "./base.mjs";

export const CARD = { width: 176, height: 64 };
const NAMES = ["Panel", "Tap", "Busbar", "Store", "Branch", "Relay", "Lamp", "Fan"];
// Places within a station, in cards across and down, along the way the power goes.
const PLACES = [[0, 0], [1, 0], [2, 0], [3, 0], [3, 1], [1, 1], [0, 1], [2, 1]];
const STEP = { x: 240, y: 136 };
const STATION = { x: 4.5 * STEP.x, y: 2.5 * STEP.y };

/** A plan of `size` parts, a multiple of eight below it, with names and places. */
export function grid(size) {
  const plan = JSON.parse(base(size));
  const stations = plan.parts.length / 8;
  const across = Math.max(1, Math.round(Math.sqrt(stations / 1.6)));
  for (const [i, part] of plan.parts.entries()) {
    const [station, k] = [Math.floor(i / 8), i % 8];
    const row = Math.floor(station / across);
    const column = row % 2 ? across - 1 - (station % across) : station % across;
    const [x, y] = PLACES[k];
    part.name = `${NAMES[k]} ${station + 1}`;
    part.at = [column * STATION.x + x * STEP.x, row * STATION.y + y * STEP.y].map((n) => Math.round(n / 8) * 8);
  }
  return plan;
}
