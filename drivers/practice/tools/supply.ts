import { Capacitor, OPEN_OHM, Resistor, Source } from "../circuit/elements.js";
import type { Network, Node } from "../circuit/network.js";
import { Pack } from "../circuit/pack.js";
import { Protection } from "../circuit/protection.js";
import type { SupplyParts } from "./supply-parts.js";
import type { ToolState } from "./tool.js";

export const SUPPLY_POINTS = [
  "charger-plus",
  "charger-minus",
  "pack-plus",
  "pack-minus",
  "terminal-plus",
  "terminal-minus",
] as const;

/** The known source on the bench: a fresh block battery of nominal 9 V. */
const KNOWN = { volt: 9.42, ohm: 1.5 };
/** A charger that gives less has nothing to light a lamp with. */
const LAMP_FROM_V = 5;
/** Behind more than this a charger does not find the cells of a pack. */
const FOUND_BELOW_OHM = 1e3;
/** What leaks across the output of a pack: its bleeder. */
const PACK_BLEED_OHM = 1e6;
/** What the protection lets through when it is off, so that it can tell when the load is gone. */
const TRIPPED_OHM = 5e3;

/** The known source of the bench, at its two points. */
export function addKnownSource(network: Network): void {
  const [plus, minus] = [network.node("known-plus"), network.node("known-minus")];
  network.add(new Source(plus, minus, KNOWN.volt, KNOWN.ohm));
}

/** The charger at its low-voltage contacts. */
export class Charger {
  readonly #source: Source;

  constructor(
    network: Network,
    private readonly parts: SupplyParts["charger"],
  ) {
    const [plus, minus] = [network.node("charger-plus"), network.node("charger-minus")];
    network.add(new Resistor(plus, minus, parts.bleed_ohm));
    network.add(new Capacitor(plus, minus, 470e-6, 0.1));
    this.#source = network.add(new Source(plus, minus, 0, OPEN_OHM));
  }

  put({ charger }: ToolState): void {
    const plugged = charger === "plugged";
    this.#source.volt = plugged ? this.parts.volt : 0;
    this.#source.ohm = plugged ? this.parts.ohm : OPEN_OHM;
  }
}

/** Charger, pack with its protection, and the contacts to the tool: everything up to terminal-±. */
export class Supply {
  readonly #charger: Charger;
  readonly #cells: Pack;
  readonly #output: Resistor;
  readonly #contacts: readonly [Resistor, Resistor];
  readonly #protection = new Protection();
  readonly #plus: Node;
  readonly #minus: Node;

  constructor(
    private readonly network: Network,
    private readonly parts: SupplyParts,
  ) {
    const { pack } = parts;
    this.#charger = new Charger(network, parts.charger);
    addKnownSource(network);
    this.#plus = network.node("pack-plus");
    this.#minus = network.node("pack-minus");
    const inner = network.node("cells-plus");
    const internal_ohm = pack.internal_ohm + pack.weak_ohm + pack.strap_ohm;
    this.#cells = network.add(new Pack(inner, this.#minus, pack, pack.charge, internal_ohm));
    this.#output = network.add(new Resistor(inner, this.#plus, pack.switch_ohm));
    network.add(new Resistor(this.#plus, this.#minus, PACK_BLEED_OHM));
    this.#contacts = [
      network.add(new Resistor(this.#plus, network.node("terminal-plus"), OPEN_OHM)),
      network.add(new Resistor(this.#minus, network.node("terminal-minus"), OPEN_OHM)),
    ];
  }

  /** Current that the pack delivers, ampere. */
  get ampere(): number {
    return this.#cells.ampere;
  }

  put(state: ToolState): void {
    this.#charger.put(state);
    const { plus_ohm, minus_ohm } = this.parts.terminals;
    this.#contacts[0].ohm = state.pack === "in" ? plus_ohm : OPEN_OHM;
    this.#contacts[1].ohm = state.pack === "in" ? minus_ohm : OPEN_OHM;
  }

  /** What the lamp of the charger says with the pack on it; null for another question. */
  answer(question: string): string | null {
    if (question !== "charger-lamp") return null;
    const { charger, pack } = this.parts;
    if (charger.volt < LAMP_FROM_V) return "dark";
    // A charger that finds no cells behind the contacts says so.
    return pack.strap_ohm + pack.switch_ohm < FOUND_BELOW_OHM ? "charging" : "fault";
  }

  /** After each step of the network. */
  after(dt_s: number): void {
    const { voltage } = this.network;
    const output_volt = voltage(this.#plus) - voltage(this.#minus);
    this.#protection.watch(this.#cells.ampere, output_volt, dt_s);
    const { switch_ohm } = this.parts.pack;
    this.#output.ohm = this.#protection.tripped ? Math.max(TRIPPED_OHM, switch_ohm) : switch_ohm;
  }
}
