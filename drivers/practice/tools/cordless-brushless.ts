import { Capacitor, OPEN_OHM, Resistor, Source } from "../circuit/elements.js";
import { Diode } from "../circuit/diode.js";
import { Motor } from "../circuit/motor.js";
import { Network } from "../circuit/network.js";
import type { Node } from "../circuit/network.js";
import { chanceOf } from "../random.js";
import { BRUSHLESS_FAULTS, PHASES, healthyBrushless } from "./brushless-parts.js";
import type { BridgeSwitch, BrushlessParts, Phase } from "./brushless-parts.js";
import { SoftGate } from "./soft-gate.js";
import { SUPPLY_POINTS, Supply } from "./supply.js";
import { described, hide } from "./tool.js";
import type { Tool, ToolKind, ToolState } from "./tool.js";
import { ohms, volts } from "./tour.js";

const POINTS = [
  ...SUPPLY_POINTS,
  "controller-plus",
  "controller-minus",
  "trigger-supply",
  "trigger-signal",
  ...PHASES.flatMap((phase) => [`bridge-${phase}`, `phase-${phase}`]),
  "motor-body",
  "known-plus",
  "known-minus",
];

/** Supply below which the controller sleeps, volts. */
const WAKES_V = 5;
/** What it draws, as a resistance: this also empties its capacitor. */
const DRAWS_OHM = 4e3;
/** The voltage it makes for the trigger, and what pulls the signal down. */
const LOGIC = { volt: 5, ohm: 10 };
const PULL_DOWN_OHM = 10e3;
const SHORTED_OHM = 0.02;
/** Signal above which it lets the motor run, volts. */
const RUNS_V = 1;
const FRESH_S = 0.1;

export const cordlessBrushless: ToolKind = {
  kind: "cordless-brushless",
  title: "Cordless drill, brushless motor",
  faults: described(BRUSHLESS_FAULTS),
  points: POINTS,
  tour: [
    volts("known-plus", "known-minus"),
    volts("pack-plus", "pack-minus"),
    volts("terminal-plus", "terminal-minus", { case: "open", pack: "in", trigger: "worked" }),
    volts("trigger-supply", "controller-minus", { case: "open", pack: "in" }),
    ohms("phase-u", "phase-v", { case: "open" }),
    ohms("phase-v", "phase-w", { case: "open" }),
  ],
  build: (hidden, seed) =>
    new BrushlessDrill(hide(healthyBrushless(chanceOf(seed, "parts")), BRUSHLESS_FAULTS, hidden)),
};

/**
 * Three-phase tool. The windings are there to be measured at rest; the running motor is one
 * equivalent motor at the supply side of the bridge, as its current is what a meter can see.
 */
class BrushlessDrill implements Tool {
  readonly network = new Network();
  readonly points: ReadonlyMap<string, Node>;
  readonly #supply: Supply;
  readonly #logic: Source;
  readonly #contact: Resistor;
  readonly #gate: Resistor;
  readonly #soft = new SoftGate();
  readonly #plugs: readonly Resistor[];
  readonly #motor: Motor;
  #fresh_s = 0;
  #running = false;
  #lockedOut = false;

  constructor(private readonly parts: BrushlessParts) {
    const { network } = this;
    this.points = new Map(POINTS.map((point) => [point, network.node(point)]));
    this.#supply = new Supply(network, parts);
    this.#join("terminal-plus", "controller-plus", parts.controller.joint_ohm);
    this.#join("terminal-minus", "controller-minus", 0.003);
    const [plus, minus] = [network.node("controller-plus"), network.node("controller-minus")];
    network.add(new Capacitor(plus, minus, 470e-6, 0.05));
    this.#join("controller-plus", "controller-minus", DRAWS_OHM);
    this.#logic = network.add(new Source(network.node("trigger-supply"), minus, 0, 1e5));
    this.#contact = this.#join("trigger-supply", "trigger-signal", OPEN_OHM);
    this.#join("trigger-signal", "controller-minus", PULL_DOWN_OHM);
    this.#gate = this.#join("controller-plus", "bridge-rail", OPEN_OHM);
    this.#motor = network.add(new Motor(network.node("bridge-rail"), minus, parts.motor));
    this.#plugs = PHASES.map((phase) => this.#buildPhase(phase));
    this.#join("phase-u", "motor-body", parts.earth_ohm);
  }

  put(state: ToolState): void {
    const { shaft, trigger } = this.parts;
    this.#fresh_s = FRESH_S;
    this.#supply.put(state);
    if (!state.squeezed) this.#lockedOut = false;
    this.#contact.ohm = state.squeezed ? trigger.closed_ohm : OPEN_OHM;
    // With the pack out the plan has the motor's plug pulled; the bench has no word of its own.
    for (const plug of this.#plugs) plug.ohm = state.pack === "in" ? 0.002 : OPEN_OHM;
    this.#motor.locked = shaft.seized || (shaft.jammed && state.case !== "motor-out");
    this.#motor.turnedAt = this.#motor.locked ? null : state.turned;
  }

  step(dt_s: number): void {
    this.#fresh_s = Math.max(0, this.#fresh_s - dt_s);
    const alive = this.parts.controller.alive && this.#volt("controller-plus") > WAKES_V;
    this.#logic.volt = alive ? LOGIC.volt : 0;
    this.#logic.ohm = alive ? LOGIC.ohm : 1e5;
    const asked = alive && this.#isSound && this.#volt("trigger-signal") > RUNS_V;
    // Stalled until the supply broke down: locked out until the trigger is let go.
    if (this.#running && !alive) this.#lockedOut = true;
    const runs = asked && !this.#lockedOut;
    this.#running = runs;
    this.#gate.ohm = this.#soft.ohm(runs, 0.01, OPEN_OHM, dt_s);
    this.network.step(dt_s);
    this.#supply.after(dt_s);
  }

  answer(question: string): string | null {
    if (question !== "chuck-turn") return this.#supply.answer(question);
    return this.parts.shaft.seized || this.parts.shaft.jammed ? "stuck" : "free";
  }

  get lively(): boolean {
    return this.#fresh_s > 0 || this.#motor.speed !== 0;
  }

  get supply_A(): number {
    return this.#supply.ampere;
  }

  /** The controller tests bridge and windings before it lets the motor run. */
  get #isSound(): boolean {
    const { bridge, windings } = this.parts;
    return PHASES.every(
      (phase) =>
        bridge[phase].low === "sound" && bridge[phase].high === "sound" && windings[phase] < 10,
    );
  }

  #volt(point: string): number {
    const { voltage } = this.network;
    return voltage(this.network.node(point)) - voltage(this.network.node("controller-minus"));
  }

  #join(a: string, b: string, ohm: number): Resistor {
    return this.network.add(new Resistor(this.network.node(a), this.network.node(b), ohm));
  }

  /** Bridge pair, plug and winding of one phase; returns the plug. */
  #buildPhase(phase: Phase): Resistor {
    const { low, high } = this.parts.bridge[phase];
    this.#buildSwitch("controller-minus", `bridge-${phase}`, low);
    this.#buildSwitch(`bridge-${phase}`, "controller-plus", high);
    this.#join(`phase-${phase}`, "star", this.parts.windings[phase]);
    return this.#join(`bridge-${phase}`, `phase-${phase}`, OPEN_OHM);
  }

  #buildSwitch(anode: string, cathode: string, state: BridgeSwitch): void {
    const { network } = this;
    if (state === "shorted") this.#join(anode, cathode, SHORTED_OHM);
    else network.add(new Diode(network.node(anode), network.node(cathode), state === "open"));
  }
}
