import { Brushes } from "../circuit/brush.js";
import { Capacitor, OPEN_OHM, Resistor, Source } from "../circuit/elements.js";
import { Motor } from "../circuit/motor.js";
import { Network } from "../circuit/network.js";
import type { Node } from "../circuit/network.js";
import { Pack } from "../circuit/pack.js";
import { Protection } from "../circuit/protection.js";
import { chanceOf } from "../random.js";
import { BRUSHED_FAULTS } from "./brushed-faults.js";
import { healthyParts } from "./brushed-parts.js";
import type { BrushedParts } from "./brushed-parts.js";
import { commutator_ohm, wornBrush_ohm } from "./commutator.js";
import { ohms, volts } from "./tour.js";
import type { Tool, ToolKind, ToolState } from "./tool.js";

const POINTS = [
  "charger-plus",
  "charger-minus",
  "pack-plus",
  "pack-minus",
  "terminal-plus",
  "terminal-minus",
  "switch-in-plus",
  "switch-in-minus",
  "switch-out-plus",
  "switch-out-minus",
  "brush-a",
  "brush-b",
  "commutator-a",
  "commutator-b",
  "known-plus",
  "known-minus",
] as const;
type Point = (typeof POINTS)[number];

/** A wire or solid joint inside the tool. */
const JOINT_OHM = 0.003;
/** The known source on the bench: a fresh block battery of nominal 9 V. */
const KNOWN = { volt: 9.42, ohm: 1.5 };
/** What leaks across the output of a pack: its bleeder. */
const PACK_BLEED_OHM = 1e6;
/** What the protection lets through when it has switched off, so that it can tell when the load is gone. */
const TRIPPED_OHM = 1e6;

const OPENED = { case: "open" } as const;

export const cordlessBrushed: ToolKind = {
  kind: "cordless-brushed",
  title: "Cordless brushed drill, mechanical switch",
  faults: BRUSHED_FAULTS.map(({ id, label, part, does }) => ({ id, label, part, does })),
  points: POINTS,
  tour: [
    volts("known-plus", "known-minus"),
    volts("charger-plus", "charger-minus", { charger: "plugged" }),
    volts("pack-plus", "pack-minus"),
    volts("terminal-plus", "terminal-minus", { pack: "in", trigger: "worked" }),
    volts("switch-out-plus", "switch-out-minus", { ...OPENED, pack: "in", trigger: "squeezed" }),
    ohms("switch-in-plus", "switch-out-plus", { ...OPENED, trigger: "squeezed" }),
    ohms("switch-out-plus", "brush-a", OPENED),
    ohms("switch-out-minus", "brush-b", OPENED),
    ohms("brush-a", "brush-b", OPENED),
  ],
  build(faults, seed) {
    const parts = healthyParts(chanceOf(seed, "parts"));
    for (const fault of BRUSHED_FAULTS) if (faults.has(fault.id)) fault.change(parts);
    return new BrushedDrill(parts);
  },
};

class BrushedDrill implements Tool {
  readonly network = new Network();
  readonly points: ReadonlyMap<string, Node>;
  readonly #charger: Source;
  readonly #pack: Pack;
  readonly #protection = new Protection();
  readonly #output: Resistor;
  readonly #contacts: readonly [Resistor, Resistor];
  readonly #switch: Resistor;
  readonly #leads: readonly [Resistor, Resistor];
  readonly #brushes: Brushes;
  readonly #motor: Motor;
  #fresh_s = 0;

  constructor(private readonly parts: BrushedParts) {
    this.points = new Map(POINTS.map((point) => [point, this.network.node(point)]));
    this.#charger = this.#buildCharger();
    [this.#pack, this.#output] = this.#buildPack();
    this.#contacts = [
      this.#join("pack-plus", "terminal-plus", OPEN_OHM),
      this.#join("pack-minus", "terminal-minus", OPEN_OHM),
    ];
    this.#join("terminal-plus", "switch-in-plus", JOINT_OHM);
    this.#join("terminal-minus", "switch-in-minus", JOINT_OHM);
    this.#switch = this.#join("switch-in-plus", "switch-out-plus", parts.switch.open_ohm);
    this.#join("switch-in-minus", "switch-out-minus", JOINT_OHM);
    this.#leads = [
      this.#join("switch-out-plus", "brush-a", parts.leads.red_ohm),
      this.#join("switch-out-minus", "brush-b", parts.leads.black_ohm),
    ];
    [this.#brushes, this.#motor] = this.#buildMotor();
    this.network.add(
      new Source(this.#at("known-plus"), this.#at("known-minus"), KNOWN.volt, KNOWN.ohm),
    );
  }

  put(state: ToolState): void {
    const { parts } = this;
    this.#fresh_s = 0.1;
    const plugged = state.charger === "plugged";
    this.#charger.volt = plugged ? parts.charger.volt : 0;
    this.#charger.ohm = plugged ? parts.charger.ohm : OPEN_OHM;
    this.#contacts[0].ohm = state.pack === "in" ? parts.terminals.plus_ohm : OPEN_OHM;
    this.#contacts[1].ohm = state.pack === "in" ? parts.terminals.minus_ohm : OPEN_OHM;
    this.#switch.ohm = state.squeezed ? parts.switch.closed_ohm : parts.switch.open_ohm;
    const out = state.case === "motor-out";
    this.#leads[0].ohm = out ? OPEN_OHM : parts.leads.red_ohm;
    this.#leads[1].ohm = out ? OPEN_OHM : parts.leads.black_ohm;
    this.#motor.locked = parts.motor.seized || (parts.gears.jammed && !out);
    this.#motor.turnedAt = this.#motor.locked ? null : state.turned;
  }

  step(dt_s: number): void {
    const { motor, brushes } = this.parts;
    this.#fresh_s = Math.max(0, this.#fresh_s - dt_s);
    this.#motor.extra_ohm = motor.open
      ? OPEN_OHM
      : commutator_ohm(this.#motor.angle, motor.burntBar);
    if (brushes.wear === "stuck") this.#brushes.extra_ohm = OPEN_OHM;
    if (brushes.wear === "worn") this.#brushes.extra_ohm = wornBrush_ohm(this.#motor.angle);
    this.network.step(dt_s);
    this.#protect(dt_s);
  }

  #protect(dt_s: number): void {
    const { voltage } = this.network;
    const output_volt = voltage(this.#at("pack-plus")) - voltage(this.#at("pack-minus"));
    this.#protection.watch(this.#pack.ampere, output_volt, dt_s);
    this.#output.ohm = this.#protection.tripped
      ? Math.max(TRIPPED_OHM, this.parts.pack.switch_ohm)
      : this.parts.pack.switch_ohm;
  }

  answer(question: string): string | null {
    if (question !== "chuck-turn") return null;
    return this.parts.gears.jammed || this.parts.motor.seized ? "stuck" : "free";
  }

  get lively(): boolean {
    return this.#fresh_s > 0 || this.#motor.speed !== 0;
  }

  get supply_A(): number {
    return this.#pack.ampere;
  }

  #at(point: Point): Node {
    return this.network.node(point);
  }

  #join(a: Point, b: Point, ohm: number): Resistor {
    return this.network.add(new Resistor(this.#at(a), this.#at(b), ohm));
  }

  #buildCharger(): Source {
    const plus = this.#at("charger-plus");
    const minus = this.#at("charger-minus");
    this.network.add(new Resistor(plus, minus, this.parts.charger.bleed_ohm));
    this.network.add(new Capacitor(plus, minus, 470e-6, 0.1));
    return this.network.add(new Source(plus, minus, 0, OPEN_OHM));
  }

  #buildPack(): [Pack, Resistor] {
    const { pack } = this.parts;
    const inner = this.network.node("cells-plus");
    const cells = new Pack(
      inner,
      this.#at("pack-minus"),
      pack,
      pack.charge,
      pack.internal_ohm + pack.weak_ohm + pack.strap_ohm,
    );
    const plus = this.#at("pack-plus");
    this.network.add(new Resistor(plus, this.#at("pack-minus"), PACK_BLEED_OHM));
    const output = new Resistor(inner, plus, pack.switch_ohm);
    return [this.network.add(cells), this.network.add(output)];
  }

  #buildMotor(): [Brushes, Motor] {
    // Both brushes stand for one contact here: brush b is a plain joint to its side.
    const a = this.#at("commutator-a");
    const b = this.#at("commutator-b");
    this.#join("commutator-b", "brush-b", JOINT_OHM);
    const brushes = new Brushes(this.#at("brush-a"), a, this.parts.brushes);
    return [this.network.add(brushes), this.network.add(new Motor(a, b, this.parts.motor))];
  }
}
