import { OPEN_OHM, Resistor, Source } from "../circuit/elements.js";
import { Network } from "../circuit/network.js";
import type { Node } from "../circuit/network.js";
import { Pack } from "../circuit/pack.js";
import type { PackData } from "../circuit/pack.js";
import { chanceOf } from "../random.js";
import type { Chance } from "../random.js";
import { ntc_ohm } from "./thermistor.js";
import { addKnownSource } from "./supply.js";
import { about } from "./supply-parts.js";
import { described, hide } from "./tool.js";
import type { PartFault, Tool, ToolKind, ToolState } from "./tool.js";
import { ohms, volts } from "./tour.js";

const TAPS = ["tap-0", "tap-1", "tap-2", "tap-3", "tap-4", "tap-5"] as const;
const POINTS = ["pack-plus", "pack-minus", ...TAPS, "thermistor", "known-plus", "known-minus"];

/** The charger beside it, known to be good. */
const CHARGER = { volt: 21, ohm: 1.2 };

/** The known load on the bench: a power resistor. */
const LOAD_OHM = 4.7;
const BLEED_OHM = 1e6;
const FRESH_S = 0.1;
const AWAKE_OHM = 0.006;
const ASLEEP_OHM = 50e6;

interface Cell {
  charge: number;
  ohm: number;
}
/** A pack of five cells, opened at its taps; invented, typical of the class. */
interface CellParts {
  readonly cells: Cell[];
  strap_ohm: number;
  switch_ohm: number;
  /** A charger switches the output on again. */
  wakes: boolean;
  thermistor_ohm: number;
}

function healthyPack(chance: Chance): CellParts {
  const charge = chance.between(0.82, 0.92);
  const cell = (): Cell => ({
    charge: charge + chance.between(-0.01, 0.01),
    ohm: about(chance, 0.028),
  });
  return {
    cells: [cell(), cell(), cell(), cell(), cell()],
    strap_ohm: 0.001,
    switch_ohm: about(chance, 0.006),
    wakes: true,
    thermistor_ohm: ntc_ohm(chance.between(19, 25)),
  };
}

function changeCell({ cells }: CellParts, at: number, change: Partial<Cell>): void {
  Object.assign(cells[at] ?? {}, change);
}

const FAULTS: readonly PartFault<CellParts>[] = [
  {
    id: "cell-3-weak",
    label: "Third cell weak",
    part: "pack",
    does: "One cell has a high internal resistance: full at rest, collapses under load.",
    change: (parts) => changeCell(parts, 2, { ohm: 0.9 }),
  },
  {
    id: "cell-2-low",
    label: "Second cell out of balance",
    part: "pack",
    does: "One cell is nearly empty while the others are full.",
    change: (parts) => changeCell(parts, 1, { charge: 0.08 }),
  },
  {
    id: "pack-dead",
    label: "Pack open inside",
    part: "pack",
    does: "A strap between two cells is broken; nothing reaches the contacts.",
    change: (parts) => Object.assign(parts, { strap_ohm: OPEN_OHM }),
  },
  {
    id: "pack-asleep",
    label: "Pack protection asleep",
    part: "pack",
    does: "The protection has switched the output off until a charger wakes it; a fraction of a volt leaks through.",
    change: (parts) => Object.assign(parts, { switch_ohm: ASLEEP_OHM }),
  },
  {
    id: "protection-dead",
    label: "Pack protection off for good",
    part: "pack",
    does: "The protection has switched the output off and no charger wakes it.",
    change: (parts) => Object.assign(parts, { switch_ohm: ASLEEP_OHM, wakes: false }),
  },
  {
    id: "pack-discharged",
    label: "Pack discharged",
    part: "pack",
    does: "All cells are sound and empty.",
    change: ({ cells }) => {
      for (const cell of cells) cell.charge = 0.03;
    },
  },
  {
    id: "thermistor-open",
    label: "Thermistor open",
    part: "thermistor",
    does: "The lead of the thermistor is broken: a charger takes the pack for ice-cold.",
    change: (parts) => Object.assign(parts, { thermistor_ohm: OPEN_OHM }),
  },
  {
    id: "thermistor-shorted",
    label: "Thermistor shorted",
    part: "thermistor",
    does: "The thermistor is bridged: a charger takes the pack for burning hot.",
    change: (parts) => Object.assign(parts, { thermistor_ohm: 3 }),
  },
];

export const pack: ToolKind = {
  kind: "pack",
  title: "Battery pack, five cells, with its taps",
  faults: described(FAULTS),
  points: POINTS,
  tour: [
    volts("known-plus", "known-minus"),
    volts("pack-plus", "pack-minus"),
    volts("tap-5", "tap-0"),
    volts("tap-1", "tap-0"),
    volts("tap-2", "tap-1"),
    volts("tap-3", "tap-2"),
    volts("tap-4", "tap-3"),
    volts("tap-5", "tap-4"),
    ohms("thermistor", "pack-minus"),
    volts("pack-plus", "pack-minus", { trigger: "worked" }),
  ],
  build: (hidden, seed) =>
    new PackOnBench(hide(healthyPack(chanceOf(seed, "parts")), FAULTS, hidden)),
};

/** One cell's share of capacity and relaxation. */
function cellData(internal_ohm: number): PackData {
  const relaxation = [
    { ohm: 0.006, tau_s: 0.8 },
    { ohm: 0.006, tau_s: 25 },
  ];
  return { cells: 1, capacity_Ah: 2, internal_ohm, relaxation };
}

/** The pack alone; to squeeze the trigger is here to switch the known load on. */
class PackOnBench implements Tool {
  readonly network = new Network();
  readonly points: ReadonlyMap<string, Node>;
  readonly #load: Resistor;
  readonly #charger: Source;
  readonly #output: Resistor;
  readonly #first: Pack;
  #fresh_s = 0;

  constructor(private readonly parts: CellParts) {
    const { network } = this;
    const node = (name: string): Node => network.node(name);
    this.points = new Map(POINTS.map((point) => [point, node(point)]));
    addKnownSource(network);
    const [plus, minus] = [node("pack-plus"), node("pack-minus")];
    const ends = TAPS.map(node);
    const cells = parts.cells.map(({ charge, ohm }, n) => {
      // The strap that can break lies between the second cell and its tap.
      const top = n === 1 ? node("strap") : (ends[n + 1] ?? minus);
      return network.add(new Pack(top, ends[n] ?? minus, cellData(ohm), charge));
    });
    this.#first = cells[0] ?? new Pack(plus, minus, cellData(1), 0);
    network.add(new Resistor(node("strap"), node("tap-2"), parts.strap_ohm));
    network.add(new Resistor(node("tap-0"), minus, 0.001));
    this.#output = network.add(new Resistor(node("tap-5"), plus, parts.switch_ohm));
    this.#charger = network.add(new Source(plus, minus, CHARGER.volt, OPEN_OHM));
    network.add(new Resistor(plus, minus, BLEED_OHM));
    network.add(new Resistor(node("thermistor"), minus, parts.thermistor_ohm));
    this.#load = network.add(new Resistor(plus, minus, OPEN_OHM));
  }

  put({ squeezed, charger }: ToolState): void {
    this.#fresh_s = FRESH_S;
    const charging = charger === "plugged" && this.#charges;
    this.#charger.ohm = charging ? CHARGER.ohm : OPEN_OHM;
    if (charging) this.#output.ohm = AWAKE_OHM;
    this.#load.ohm = squeezed ? LOAD_OHM : OPEN_OHM;
  }

  step(dt_s: number): void {
    this.#fresh_s = Math.max(0, this.#fresh_s - dt_s);
    this.network.step(dt_s);
  }

  answer(question: string): string | null {
    if (question === "pack-outside") return "sound";
    if (question === "charger-lamp") return this.#charges ? "charging" : "fault";
    return null;
  }

  /** A charger wants cells behind the contacts and a temperature that it believes. */
  get #charges(): boolean {
    const { wakes, strap_ohm, thermistor_ohm } = this.parts;
    const believed = thermistor_ohm > 1e3 && thermistor_ohm < 1e5;
    return wakes && strap_ohm < 1 && believed;
  }

  get lively(): boolean {
    return this.#fresh_s > 0;
  }

  get supply_A(): number {
    return this.#first.ampere;
  }
}
