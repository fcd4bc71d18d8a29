/**
 * A brushed cordless tool with hidden faults, for the study of the diagnosis. It shares with the
 * reasoning the table of healthy values and of prior odds (workbench/models), because calibration
 * means nothing without a common prior. It does not share: how a reading is computed (here the one
 * loop of the tool is worked out by hand, with exact values instead of cells and derivatives), the
 * meter, its leads, its noise and digits, the hand that slips.
 */

/** Small seeded generator (mulberry32). */
export function seeded(seed) {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const gauss = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
  return { next, gauss, between: (low, high) => low + (high - low) * next() };
}

const draw = (chance, { centre, sd, scale }) =>
  scale === "log" ? centre * Math.exp(sd * chance.gauss()) : centre + sd * chance.gauss();
const evenly = (chance, { centre, sd, scale }) =>
  scale === "log"
    ? draw(chance, { centre, sd, scale })
    : chance.between(centre - sd * Math.sqrt(3), centre + sd * Math.sqrt(3));

/** Every part has its fault by its own odds; cases with one or two faults are kept. */
export function drawFaults(chance, model, count) {
  for (;;) {
    const faults = [];
    for (const part of model.parts) {
      const total = part.modes.reduce((sum, mode) => sum + mode.odds, 0);
      if (chance.next() >= total / (1 + total)) continue;
      let left = chance.next() * total;
      const mode = part.modes.find((one) => (left -= one.odds) < 0) ?? part.modes.at(-1);
      faults.push({ part: part.id, mode, way: Math.floor(chance.next() * mode.ways.length) });
    }
    if (count ? faults.length === count : faults.length >= 1 && faults.length <= 2) return faults;
  }
}

export function buildTool(chance, model, faults) {
  const ohm = {};
  const volt = {};
  let noLoad_A = 0;
  for (const element of model.elements) {
    ohm[element.id] = draw(chance, element.ohm);
    if (element.kind === "source") volt[element.id] = evenly(chance, element.volt);
    if (element.kind === "motor") noLoad_A = draw(chance, element.noLoad_A);
  }
  const tool = { ohm, volt, noLoad_A, stalled: false, special: [], slipping: false, fickle: [] };
  for (const { part, mode, way } of faults) {
    // One value a fault, however many conditions it shows under.
    if (part === "gear-train" && mode.id === "slipping") tool.slipping = true;
    const value = {};
    for (const effect of mode.ways[way]) applyEffect(chance, tool, effect, mode, value);
  }
  tool.trips = chance.next() < 0.5;
  return tool;
}

function applyEffect(chance, tool, effect, mode, value) {
  if (effect.ohm === "open") value.ohm = Infinity;
  else if (effect.ohm) value.ohm ??= logEven(chance, effect.ohm);
  if (effect.volt) value.volt ??= chance.between(...effect.volt);
  if (mode.shows) tool.fickle.push({ element: effect.element, shows: mode.shows });
  else if (effect.when) tool.special.push({ ...effect, ...value });
  else {
    if (value.ohm !== undefined) tool.ohm[effect.element] = value.ohm;
    if (value.volt !== undefined) tool.volt[effect.element] = value.volt;
  }
  if (effect.noLoad_A) tool.noLoad_A = logEven(chance, effect.noLoad_A);
  if (effect.stalled) tool.stalled = true;
}

const logEven = (chance, [low, high]) => Math.exp(chance.between(Math.log(low), Math.log(high)));

/** The tool as it is under a condition and in this moment. */
function moment(chance, tool, condition, shown) {
  const ohm = { ...tool.ohm };
  const volt = { ...tool.volt };
  for (const effect of tool.special) {
    const applies = Object.entries(effect.when).every(([k, list]) => list.includes(condition[k]));
    if (!applies) continue;
    if (effect.ohm !== undefined) ohm[effect.element] = effect.ohm;
    if (effect.volt !== undefined) volt[effect.element] = effect.volt;
  }
  for (const { element, shows } of tool.fickle) {
    const p = shown === "steady" ? 0 : shows[shown];
    if (chance.next() < p) ohm[element] = Infinity;
  }
  if (condition.trigger === "released") ohm["switch-plus"] = ohm["switch-released"];
  return { ohm, volt };
}

const METER_OHM = 10e6;
/** The chain from pack plus to the motor and back: element, then the point behind it. */
const PLUS = [
  ["contact-plus", "terminal-plus"],
  ["supply-wire-plus", "switch-in-plus"],
  ["switch-plus", "switch-out-plus"],
  ["lead-red", "brush-a"],
  ["brush-a", "commutator-a"],
];
const MINUS = [
  ["contact-minus", "terminal-minus"],
  ["supply-wire-minus", "switch-in-minus"],
  ["switch-minus", "switch-out-minus"],
  ["lead-black", "brush-b"],
  ["brush-b", "commutator-b"],
];

/** Volts between a pair of points of equal depth, pack or known pack in the tool. */
function loopVolts(chance, tool, condition, depth) {
  const { ohm, volt } = moment(chance, tool, condition, "running");
  const known = condition.pack === "known-good";
  const [source_V, source_ohm] = known
    ? [volt["known-pack"], ohm["known-pack"]]
    : [volt.pack, ohm.pack];
  const sum = (list, from, to) => list.slice(from, to).reduce((s, [id]) => s + ohm[id], 0);
  const before = sum(PLUS, 0, depth) + sum(MINUS, 0, depth);
  const after = sum(PLUS, depth) + sum(MINUS, depth) + ohm.motor;
  const total = source_ohm + before + after;
  let ampere = Number.isFinite(total) ? source_V / total : 0;
  if (!tool.stalled && ampere > tool.noLoad_A) ampere = tool.noLoad_A;
  const turning = ampere === tool.noLoad_A && !tool.stalled;
  if (ampere > 15 && tool.trips) return { value: 0, turning: false, speed: 0 };
  const behind = source_ohm + before;
  const backEmf = turning ? source_V - ampere * (total - 0) : 0;
  if (ampere > 0) return { value: source_V - ampere * behind, turning, speed: backEmf };
  // Nothing flows: the meter alone loads what is still connected.
  const alive = Number.isFinite(before);
  const value =
    alive && Number.isFinite(source_ohm) ? (source_V * METER_OHM) / (METER_OHM + behind) : 0;
  return { value, turning: false, speed: 0 };
}

/** Points that are another one's, with the motor's leads off the switch. */
const SAME = { "lead-red-end": "switch-out-plus", "lead-black-end": "switch-out-minus" };
/** What a bench supply is limited to, and the fuse in the lead of a known pack, amperes. */
const FED_MOST_A = 10;

/** Volts at the brushes while a known supply feeds the motor there, past all that lies before. */
function fedVolts(chance, tool, condition) {
  const { ohm, volt } = moment(chance, tool, condition, "running");
  const motor = ohm["brush-a"] + ohm["brush-b"] + ohm.motor;
  let ampere = Number.isFinite(motor) ? volt.feed / (ohm.feed + motor) : 0;
  const turning = !tool.stalled && ampere > tool.noLoad_A;
  if (turning) ampere = tool.noLoad_A;
  if (ampere > FED_MOST_A) {
    // A blown fuse, or a supply that holds its current: at half of the benches each.
    return { value: tool.trips ? 0 : FED_MOST_A * motor, turning: false, speed: 0 };
  }
  const value = volt.feed - ampere * ohm.feed;
  return { value, turning, speed: turning ? value - ampere * motor : 0 };
}

/** Volts at the switch input with a lamp there, trigger released. */
function lampVolts(chance, tool, condition) {
  const { ohm, volt } = moment(chance, tool, condition, "running");
  const sum = (list) => list.reduce((s, [id]) => s + ohm[id], 0);
  const before = ohm.pack + sum(PLUS.slice(0, 2)) + sum(MINUS.slice(0, 2));
  if (!Number.isFinite(before)) return 0;
  const lamp = ohm["tool-lamp"];
  const open_V = (volt.pack * lamp) / (lamp + before);
  // A welded switch lets the motor run beside the lamp.
  const inner = (lamp * before) / (lamp + before);
  const motor = sum(PLUS.slice(2)) + sum(MINUS.slice(2)) + ohm.motor;
  const standing = open_V / (inner + motor);
  const ampere = tool.stalled ? standing : Math.min(standing, tool.noLoad_A);
  if (ampere + open_V / lamp > 15 && tool.trips) return 0;
  return open_V - ampere * inner;
}

const depthOf = (red) =>
  red === "pack-plus" ? 0 : PLUS.findIndex(([, point]) => point === red) + 1;

/** True volts or ohms of a measurement, before the meter. */
function truth(chance, tool, { quantity, red, black }, condition) {
  if (quantity === "resistance") return trueOhms(chance, tool, red, black, condition);
  const { ohm, volt } = moment(chance, tool, condition, "running");
  if (red === "charger-plus") {
    const alone = Number.isFinite(ohm.charger) ? volt.charger : 0;
    if (condition.pack !== "on-charger") return alone;
    const link = ohm.pack + ohm["charger-contact-plus"] + ohm["charger-contact-minus"];
    if (!Number.isFinite(link)) return alone;
    if (!Number.isFinite(ohm.charger)) return volt.pack;
    return (alone * link + volt.pack * ohm.charger) / (link + ohm.charger);
  }
  if (condition.pack === "at-motor") return fedVolts(chance, tool, condition).value;
  if (condition.pack === "in-with-lamp") return lampVolts(chance, tool, condition);
  if (condition.pack === "on-load") {
    const ampere = volt.pack / (ohm.pack + ohm["bench-load"]);
    return Number.isFinite(ampere) ? ampere * ohm["bench-load"] : 0;
  }
  if (red === "pack-plus" && condition.pack === "out") {
    if (!Number.isFinite(ohm.pack)) return 0;
    return (volt.pack * METER_OHM) / (METER_OHM + ohm.pack);
  }
  return loopVolts(chance, tool, condition, depthOf(red)).value;
}

function trueOhms(chance, tool, red, black, condition) {
  const turned = condition.shaft === "turned-by-hand";
  const worked = condition.trigger === "released" ? "still" : "moved";
  const { ohm } = moment(chance, tool, condition, turned ? "steady" : worked);
  const chain = [
    ...[...PLUS].slice(1).map(([id, point]) => [id, point]),
    ["motor", "commutator-b"],
    ...[...MINUS]
      .reverse()
      .slice(0, 4)
      .map(([id], i) => [id, [...MINUS].reverse()[i + 1][1]]),
  ];
  const order = ["terminal-plus", ...chain.map(([, point]) => point)];
  const [from, to] = [red, black].map((id) => order.indexOf(SAME[id] ?? id)).sort((a, b) => a - b);
  return chain.slice(from, to).reduce((sum, [id]) => sum + ohm[id], 0);
}

/** A hand-held meter of 4,000 counts with one pair of leads; now and then the hand slips. */
export function createMeter(chance) {
  const leads_ohm = chance.between(0, 0.5);
  const gain = 1 + 0.003 * chance.gauss();
  const read = (tool, probe, condition) => {
    const real = truth(chance, tool, probe, condition);
    const slipped = chance.next() < 0.003;
    if (probe.quantity === "voltage") return slipped ? 0 : volts(chance, real * gain, condition);
    const shown = real + leads_ohm + chance.between(0, 0.1);
    if (slipped || shown > 40e6) return null;
    return ohms(chance, shown);
  };
  return { read };
}

function volts(chance, real, condition) {
  const drift = condition.trigger === "released" ? 0.01 : 0.08;
  return round(real + drift * chance.gauss(), 0.01);
}

function ohms(chance, shown) {
  const count = shown < 400 ? 0.1 : 10 ** (Math.floor(Math.log10(shown)) - 2);
  return round(Math.max(0, shown * (1 + 0.004 * chance.gauss())), count);
}

const round = (value, count) => Math.round(value / count) * count;

/** One touch as an observation of the reasoning. */
export function observe(chance, tool, meter, probe, condition) {
  const value = meter.read(tool, probe, condition);
  const turned = condition.shaft === "turned-by-hand";
  const inside = probe.red.startsWith("commutator") ? ["motor"] : ["motor", "brush-a", "brush-b"];
  const shows = tool.fickle
    .filter(({ element }) => inside.includes(element))
    .map(({ shows: { moved } }) => moved);
  const unsteady = turned ? chance.next() < Math.max(0.02, ...shows) : null;
  const nothing = value === null || (probe.quantity === "voltage" && Math.abs(value) < 0.1);
  return {
    kind: "measured",
    quantity: probe.quantity,
    red: probe.red,
    black: probe.black,
    condition,
    value,
    u: null,
    // A second touch settles most zeros: a slip is not proved.
    proved: nothing && truthIsNothing(chance, tool, probe, condition),
    unsteady,
  };
}

function truthIsNothing(chance, tool, probe, condition) {
  const real = truth(chance, tool, probe, condition);
  return probe.quantity === "voltage" ? Math.abs(real) < 0.1 : real > 40e6;
}

/** What a person sees; `seen` keeps it, because a second look shows the same. */
export function see(chance, model, tool, faults, sighting, seen) {
  const known = seen.get(sighting.id);
  if (known !== undefined) return known;
  const { follows } = sighting;
  const source = model.sightings.find(({ id }) => id === follows);
  const value =
    source === undefined
      ? seeAlone(chance, model, tool, faults, sighting)
      : seeAfter(chance, sighting, faults, see(chance, model, tool, faults, source, seen));
  seen.set(sighting.id, value);
  return value;
}

const hasFault = (faults, part, mode) => faults.some((f) => f.part === part && f.mode.id === mode);

/** The turning end does what the motor does, unless the gears slip or the eye errs. */
function seeAfter(chance, sighting, faults, before) {
  const told = sighting.overrides.find(({ part, mode }) => hasFault(faults, part, mode));
  if (told && before !== "no") return pick(chance, told.p);
  if (chance.next() < 0.97) return before;
  const others = sighting.values.filter((value) => value !== before);
  return others[Math.floor(chance.next() * others.length)];
}

function seeAlone(chance, model, tool, faults, sighting) {
  const told = sighting.overrides.find(({ part, mode }) => hasFault(faults, part, mode));
  if (sighting.from === "table") return pick(chance, told?.p ?? sighting.otherwise);
  const condition = model.conditions.find(({ id }) => id === sighting.condition).condition;
  const steady = { ...tool, fickle: [] };
  const fed = condition.pack === "at-motor";
  const { turning, speed } = fed
    ? fedVolts(chance, steady, condition)
    : loopVolts(chance, steady, condition, 5);
  const share = speed / model.nominal_V;
  if (!turning || share < 0.04) return chance.next() < 0.99 ? "no" : "slowly";
  if (told) return pick(chance, told.p);
  const fickle = tool.fickle.filter(({ element }) => !fed || element !== "switch-plus");
  if (fickle.length > 0) return pick(chance, { yes: 0.2, slowly: 0.15, jerks: 0.4, no: 0.25 });
  const p = 1 / (1 + Math.exp(-(share - 0.6) / 0.06));
  return chance.next() < p ? "yes" : "slowly";
}

function pick(chance, table) {
  let left = chance.next() * Object.values(table).reduce((a, b) => a + b, 0);
  for (const [value, p] of Object.entries(table)) if ((left -= p) < 0) return value;
  return Object.keys(table)[0];
}
