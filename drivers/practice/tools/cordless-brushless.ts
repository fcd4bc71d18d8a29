import { Capacitor, OPEN_OHM, Resistor, Source } from "../circuit/elements.js";
import { Motor } from "../circuit/motor.js";
import { Network } from "../circuit/network.js";
import type { Node } from "../circuit/network.js";
import { chanceOf } from "../random.js";
import { BRUSHLESS_FAULTS, PHASES, healthyBrushless } from "./brushless-parts.js";
import type { BrushlessParts } from "./brushless-parts.js";
import { SoftGate } from "./soft-gate.js";
import { SUPPLY_POINTS, Supply } from "./supply.js";
import { ThreePhase } from "./three-phase.js";
import type { Drive } from "./three-phase.js";
import { described, hide } from "./tool.js";
import type { Tool, ToolKind, ToolState } from "./tool.js";
import { ac, ohms, volts } from "./tour.js";

const POINTS = [
  ...SUPPLY_POINTS,
  "controller-plus",
  "controller-minus",
  "trigger-supply",
  "trigger-signal",
  ...PHASES.flatMap((x) => [`sensor-${x}`, `bridge-${x}`, `phase-${x}`, `motor-${x}`]),
  "motor-body",
  "known-plus",
  "known-minus",
];

/** Supply below which the controller sleeps, volts. */
const WAKES_V = 5;
/** What it draws, as a resistance: this also empties its capacitor. */
const DRAWS_OHM = 4e3;
/** The voltage it makes for trigger and sensors, and what pulls their signals. */
const LOGIC = { volt: 5, ohm: 10 };
const PULL_OHM = 10e3;
/** Signal above which it lets the motor run, volts. */
const RUNS_V = 1;
const FRESH_S = 0.1;
/** How long it tries to start a rotor that does not turn before it gives up, seconds. */
const TRIES_S = 0.4;
/** Resistance of the bridge: sound, with one half of it lame, and while it only tries, ohms. */
const BRIDGE_OHM = { sound: 0.01, lame: 0.6, trying: 4 };
/** Sensors 120° apart: which are high in each sixth of a turn. Never all, never none. */
const SENSOR_CODES = ["u", "uv", "v", "vw", "w", "uw"] as const;
const POLE_PAIRS = 2;

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
    ...PHASES.map((x) =>
      ac(`phase-${x}`, "controller-minus", { case: "open", pack: "in", trigger: "squeezed" }),
    ),
    ohms("phase-u", "phase-v", { case: "open", motor: "disconnected" }),
    ohms("phase-v", "phase-w", { case: "open", motor: "disconnected" }),
  ],
  build: (hidden, seed) => {
    const parts = hide(healthyBrushless(chanceOf(seed, "parts")), BRUSHLESS_FAULTS, hidden);
    return new BrushlessDrill(parts, chanceOf(seed, "ac").between(0.6, 1));
  },
};

/**
 * Three-phase tool. What the motor draws is one equivalent motor at the supply side of the bridge;
 * what stands at its three phases meanwhile is in `ThreePhase`.
 */
class BrushlessDrill implements Tool {
  readonly network = new Network();
  readonly points: ReadonlyMap<string, Node>;
  readonly #supply: Supply;
  readonly #logic: Source;
  readonly #contact: Resistor;
  readonly #gate: Resistor;
  readonly #soft = new SoftGate();
  readonly #phases: ThreePhase;
  readonly #sensors: readonly Source[];
  readonly #motor: Motor;
  #fresh_s = 0;
  #running = false;
  #tried_s = 0;
  #lockedOut = false;
  #blocked = false;

  constructor(
    private readonly parts: BrushlessParts,
    acShare: number,
  ) {
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
    this.#join("trigger-signal", "controller-minus", PULL_OHM);
    this.#sensors = PHASES.map((x) =>
      network.add(new Source(network.node(`sensor-${x}`), minus, 0, PULL_OHM)),
    );
    this.#gate = this.#join("controller-plus", "bridge-rail", OPEN_OHM);
    this.#motor = network.add(new Motor(network.node("bridge-rail"), minus, parts.motor));
    this.#phases = new ThreePhase(network, parts, acShare);
    this.#join("motor-u", "motor-body", parts.earth_ohm);
  }

  put(state: ToolState): void {
    const { shaft, trigger } = this.parts;
    this.#fresh_s = FRESH_S;
    this.#supply.put(state);
    if (!state.squeezed) {
      this.#lockedOut = false;
      this.#tried_s = 0;
    }
    this.#contact.ohm = state.squeezed ? trigger.closed_ohm : OPEN_OHM;
    this.#phases.join(state.motor === "connected");
    this.#blocked = shaft.seized || (shaft.jammed && state.case !== "motor-out");
    this.#motor.turnedAt = this.#blocked ? null : state.turned;
  }

  step(dt_s: number): void {
    this.#fresh_s = Math.max(0, this.#fresh_s - dt_s);
    const alive = this.parts.controller.alive && this.#volt("controller-plus") > WAKES_V;
    this.#supplyLogic(alive);
    const does = this.#does(alive, dt_s);
    this.#motor.locked = this.#blocked || does === "holds";
    this.#motor.extra_ohm = does === "turns" ? this.#phases.extra_ohm : 0;
    this.#gate.ohm = this.#soft.ohm(does !== "nothing", this.#bridgeOhm(does), OPEN_OHM, dt_s);
    const rail_V = this.#volt("bridge-rail");
    const turning = does === "turns" && this.#motor.speed > 0;
    const shown = does === "turns" && !turning ? "holds" : does;
    this.#phases.drive({ does: shown, rail_V, ampere: this.#motor.ampere }, dt_s);
    this.network.step(dt_s);
    this.#supply.after(dt_s);
  }

  answer(question: string): string | null {
    const { shaft, drags } = this.parts;
    const stuck = shaft.seized || shaft.jammed;
    const answers: Readonly<Record<string, () => string>> = {
      "chuck-turn": () => (stuck ? "stuck" : "free"),
      "motor-shaft": () => (shaft.seized ? "stuck" : "turns"),
      "gears-input": () => (shaft.jammed ? "stuck" : "drives"),
      "rotor-free": () => (drags ? "drags" : "free"),
      "motor-runs": () => this.#runs(),
      "runs-again": () => (this.#runs() === "even" ? "runs" : "worse"),
      "sensors-there": () => "cable",
      "phase-joints": () => (this.#phases.hasBurntJoint ? "burnt" : "clean"),
    };
    return answers[question]?.() ?? this.#supply.answer(question);
  }

  get lively(): boolean {
    return this.#fresh_s > 0 || this.#running || this.#motor.speed !== 0;
  }

  get supply_A(): number {
    return this.#supply.ampere;
  }

  /** What the bridge does now; a rotor that cannot start is tried, then left alone. */
  #does(alive: boolean, dt_s: number): Drive["does"] {
    // Stalled until the supply broke down: locked out until the trigger is let go.
    if (this.#running && !alive) this.#lockedOut = true;
    const asked = alive && this.#canDrive && this.#volt("trigger-signal") > RUNS_V;
    const whole = this.#phases.isWhole;
    if (asked && !whole) this.#tried_s += dt_s;
    if (this.#tried_s > TRIES_S) this.#lockedOut = true;
    this.#running = asked && !this.#lockedOut;
    if (!this.#running) return "nothing";
    return whole ? "turns" : "holds";
  }

  get #canDrive(): boolean {
    const { controller, sensorsPlugged } = this.parts;
    return controller.drives && sensorsPlugged && !this.#phases.isShorted;
  }

  #bridgeOhm(does: Drive["does"]): number {
    if (does === "holds") return BRIDGE_OHM.trying;
    return this.#phases.isLame ? BRIDGE_OHM.lame : BRIDGE_OHM.sound;
  }

  /** Trigger and sensors live on the logic supply; a lost cable leaves the sensors pulled up. */
  #supplyLogic(alive: boolean): void {
    this.#logic.volt = alive ? LOGIC.volt : 0;
    this.#logic.ohm = alive ? LOGIC.ohm : 1e5;
    const sixth = Math.floor((this.#motor.angle * POLE_PAIRS * 6) / (2 * Math.PI));
    const code = SENSOR_CODES[((sixth % 6) + 6) % 6] ?? "u";
    PHASES.forEach((phase, n) => {
      const high = !this.parts.sensorsPlugged || code.includes(phase);
      const sensor = this.#sensors[n];
      if (sensor !== undefined) sensor.volt = alive && high ? LOGIC.volt : 0;
    });
  }

  /** What a person sees when the trigger is squeezed. */
  #runs(): string {
    const { pack, terminals, controller, trigger, shaft, drags } = this.parts;
    const contacts_ohm = terminals.plus_ohm + terminals.minus_ohm + controller.joint_ohm;
    const supply_ohm = pack.weak_ohm + pack.strap_ohm + pack.switch_ohm + contacts_ohm;
    const told = controller.alive && trigger.closed_ohm < OPEN_OHM;
    if (supply_ohm > 50 || !told || !this.#canDrive) return "nothing";
    if (shaft.seized || shaft.jammed || !this.#phases.isWhole) return "jerks";
    const rough = supply_ohm > 1 || drags || this.#phases.isLame || this.#phases.extra_ohm > 0.3;
    return rough ? "rough" : "even";
  }

  #volt(point: string): number {
    const { voltage } = this.network;
    return voltage(this.network.node(point)) - voltage(this.network.node("controller-minus"));
  }

  #join(a: string, b: string, ohm: number): Resistor {
    return this.network.add(new Resistor(this.network.node(a), this.network.node(b), ohm));
  }
}
