import { Capacitor, OPEN_OHM, Resistor, Source } from "../circuit/elements.js";
import { Network } from "../circuit/network.js";
import type { Node } from "../circuit/network.js";
import { Pack } from "../circuit/pack.js";
import { chanceOf } from "../random.js";
import type { Chance } from "../random.js";
import { addKnownSource } from "./supply.js";
import { about, healthySupply } from "./supply-parts.js";
import type { SupplyParts } from "./supply-parts.js";
import { described, hide } from "./tool.js";
import type { PartFault, Tool, ToolKind, ToolState } from "./tool.js";
import { ohms, volts } from "./tour.js";

const POINTS = [
  "plug-live",
  "plug-neutral",
  "charger-plus",
  "charger-minus",
  "pack-plus",
  "pack-minus",
  "known-plus",
  "known-minus",
];

/** A charger and the flat pack that it is tried with; invented, typical of the class. */
interface ChargerParts {
  readonly pack: SupplyParts["pack"];
  /** Open-circuit voltage, and the resistance that stands for the limit of its current. */
  output: { volt: number; ohm: number; ripple_volt: number; bleed_ohm: number };
  /** Between the pins of the plug, as an ohmmeter sees it. */
  input_ohm: number;
}

function healthyCharger(chance: Chance): ChargerParts {
  const { pack } = healthySupply(chance);
  return {
    pack: { ...pack, charge: chance.between(0.4, 0.55) },
    output: {
      volt: about(chance, 21, 0.005),
      ohm: about(chance, 1.2),
      ripple_volt: about(chance, 0.05),
      bleed_ohm: 10e3,
    },
    input_ohm: about(chance, 1e6),
  };
}

const FAULTS: readonly PartFault<ChargerParts>[] = [
  {
    id: "charger-dead",
    label: "Charger gives next to nothing",
    part: "charger",
    does: "The rectifier has failed; a few tenths of a volt are left at the output.",
    change: ({ output }) => Object.assign(output, { volt: 0.4, ohm: 50, ripple_volt: 0 }),
  },
  {
    id: "charger-shorted",
    label: "Charger shorted at its input",
    part: "charger",
    does: "The rectifier at the mains side is shorted.",
    change: (parts) => {
      Object.assign(parts, { input_ohm: 0.8 });
      Object.assign(parts.output, { volt: 0, ohm: OPEN_OHM, ripple_volt: 0 });
    },
  },
  {
    id: "charger-ripple",
    label: "Capacitor of the charger dried out",
    part: "charger",
    does: "The output carries volts of ripple.",
    change: ({ output }) => Object.assign(output, { ripple_volt: 3.5 }),
  },
  {
    id: "charger-no-current",
    label: "Charger gives voltage and no current",
    part: "charger",
    does: "The output is right without a pack and gives hardly any current into one.",
    change: ({ output }) => Object.assign(output, { ohm: 400 }),
  },
  {
    id: "charger-too-high",
    label: "Charger voltage too high",
    part: "charger",
    does: "The regulation has failed; the output is over its limit.",
    change: ({ output }) => Object.assign(output, { volt: 26 }),
  },
];

export const charger: ToolKind = {
  kind: "charger",
  title: "Charger, with the pack it is tried with",
  faults: described(FAULTS),
  points: POINTS,
  tour: [
    volts("known-plus", "known-minus"),
    ohms("plug-live", "plug-neutral"),
    volts("charger-plus", "charger-minus", { charger: "plugged" }),
    volts("pack-plus", "pack-minus"),
  ],
  build: (hidden, seed) =>
    new ChargerOnBench(hide(healthyCharger(chanceOf(seed, "parts")), FAULTS, hidden)),
};

/** A charger that gives less has nothing to light a lamp with; one that is limper sees no current. */
const LAMP_FROM_V = 5;
const LIMP_OHM = 50;
/** Twice the frequency of the mains, as behind a full-wave rectifier. */
const RIPPLE_Hz = 100;

/** The first time the charger is plugged in it stands alone; from then on the pack is on it. */
class ChargerOnBench implements Tool {
  readonly network = new Network();
  readonly points: ReadonlyMap<string, Node>;
  readonly #output: Source;
  readonly #pack: Pack;
  readonly #contact: Resistor;
  #time_s = 0;
  #plugged = false;
  #pluggedTimes = 0;

  constructor(private readonly parts: ChargerParts) {
    const { network } = this;
    const node = (name: string): Node => network.node(name);
    this.points = new Map(POINTS.map((point) => [point, node(point)]));
    addKnownSource(network);
    network.add(new Resistor(node("plug-live"), node("plug-neutral"), parts.input_ohm));
    const [plus, minus] = [node("charger-plus"), node("charger-minus")];
    network.add(new Resistor(plus, minus, parts.output.bleed_ohm));
    network.add(new Capacitor(plus, minus, 100e-6, 0.1));
    this.#output = network.add(new Source(plus, minus, 0, OPEN_OHM));
    const { pack } = parts;
    this.#pack = network.add(new Pack(node("pack-plus"), node("pack-minus"), pack, pack.charge));
    this.#contact = network.add(new Resistor(plus, node("pack-plus"), OPEN_OHM));
    network.add(new Resistor(minus, node("pack-minus"), 0.01));
  }

  put(state: ToolState): void {
    const plugged = state.charger === "plugged";
    if (plugged && !this.#plugged) this.#pluggedTimes += 1;
    this.#plugged = plugged;
    this.#output.ohm = plugged ? this.parts.output.ohm : OPEN_OHM;
    this.#contact.ohm = this.#isCharging ? 0.01 : OPEN_OHM;
  }

  step(dt_s: number): void {
    this.#time_s += dt_s;
    const { volt, ripple_volt } = this.parts.output;
    const phase = 2 * Math.PI * RIPPLE_Hz * this.#time_s;
    const ripple = this.#isCharging ? 0 : ripple_volt * Math.SQRT2 * Math.sin(phase);
    this.#output.volt = this.#plugged ? volt + ripple : 0;
    this.network.step(dt_s);
  }

  answer(question: string): string | null {
    const { volt, ohm } = this.parts.output;
    if (question === "charger-outside") return "sound";
    if (question !== "charger-lamp") return null;
    if (volt < LAMP_FROM_V) return "dark";
    return ohm > LIMP_OHM ? "fault" : "charging";
  }

  get lively(): boolean {
    return this.#plugged && !this.#isCharging;
  }

  get supply_A(): number {
    return this.#pack.ampere;
  }

  get #isCharging(): boolean {
    return this.#plugged && this.#pluggedTimes > 1;
  }
}
