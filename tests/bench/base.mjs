// The plans of losses.rs, for the browser: n/8 stations with a dusk lamp each, apart or as one base with one battery.

/** A plan of `size` parts as a file's text. */
export function base(size, apart = false) {
  const parts = [];
  const wires = [];
  const duties = [];
  const id = (n, k) => `p${n * 8 + k}`;
  const wire = (from, to) => wires.push({ id: `w${wires.length + 1}`, from, to });
  for (let n = 0; n < Math.floor(size / 8); n += 1) {
    const port = (k, name) => `${id(n, k)}.${name}`;
    const own = apart || n === 0;
    const add = (k, type, more = {}) => parts.push({ id: id(n, k), type, ...more });
    add(1, "sun-panel-large", { set: { azimuth: 150 + (n % 60), tilt: 30 + (n % 30) } });
    add(2, "tap");
    add(3, "busbar-2");
    add(4, own ? "battery-rack" : "meter", own ? { count: apart ? 1 : 30 } : {});
    add(5, "tap", { set: { amount: 3 } });
    add(6, "relay", { set: { contact: "break" } });
    add(7, "lamp");
    add(8, "fan");
    wire(port(1, "out"), port(2, "in"));
    wire(port(2, "tap"), port(6, "coil"));
    wire(port(2, "rest"), port(3, "in1"));
    wire(port(5, "tap"), port(8, "in"));
    wire(port(8, "loop"), port(6, "feed"));
    wire(port(6, "out"), port(7, "in"));
    wire(port(3, "out"), own ? port(4, "in") : `${id(n - 1, 3)}.in2`);
    if (!own) wire(`${id(n - 1, 5)}.rest`, port(4, "in"));
    wire(port(4, "out"), port(5, "in"));
    duties.push({ part: id(n, 7), when: "dark", grace_s: 1800 }, { part: id(n, 8), when: "always" });
  }
  const world = { sky: { latitude: 56, day_of_year: 80 } };
  return JSON.stringify({ format: "duskline/plan", version: 1, title: `Base of ${size}`, book: "outpost", world, parts, wires, duties });
}
