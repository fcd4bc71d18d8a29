import { Brushes } from "../circuit/brush.js";
import { OPEN_OHM, Resistor } from "../circuit/elements.js";
import { LimitedSource } from "../circuit/limited-source.js";
import { Motor } from "../circuit/motor.js";
import { Network } from "../circuit/network.js";
import type { Node } from "../circuit/network.js";
import { feltOf } from "./brushed-answers.js";
import { JOINT_OHM, KE } from "./brushed-parts.js";
import type { BrushedParts } from "./brushed-parts.js";
import { commutator_ohm, wornBrush_ohm } from "./commutator.js";
import { SUPPLY_POINTS, Supply } from "./supply.js";
import type { Tool, ToolState } from "./tool.js";
import { ElectronicTrigger, MechanicalTrigger } from "./trigger.js";
import type { Trigger } from "./trigger.js";
import { Turning } from "./turning.js";

export const BRUSHED_POINTS = [
  ...SUPPLY_POINTS,
  "switch-in-plus",
  "switch-in-minus",
  "switch-out-plus",
  "switch-out-minus",
  "lead-red-end",
  "lead-black-end",
  "brush-a",
  "brush-b",
  "commutator-a",
  "commutator-b",
  "known-plus",
  "known-minus",
] as const;
type Point = (typeof BRUSHED_POINTS)[number];

/** What plans ask about the running motor. */
const RUNNING_QUESTIONS = ["motor-turns", "motor-turns-fed", "runs-again"];
/** So long after the trigger was let go a motor has stopped, seconds. */
const RUN_DOWN_S = 1;

/** The bench supply that feeds the motor directly: rated voltage, limited. */
const FEED = { volt: 18, limit_A: 10, ohm: 0.05 };
/** A sound motor at rated voltage, and the current at which it labours. */
const USUAL = { speed: FEED.volt / KE, most_A: 9 };

/** How long after a change of state short steps are taken, seconds. */
const FRESH_S = 0.1;

/** A cordless drill with a brushed motor; the trigger is a contact or a transistor. */
export class BrushedDrill implements Tool {
  readonly network = new Network();
  readonly points: ReadonlyMap<string, Node>;
  readonly #supply: Supply;
  readonly #trigger: Trigger;
  /** Where the motor's leads are joined to the switch, and the leads. */
  readonly #lugs: readonly [Resistor, Resistor];
  readonly #leads: readonly [Resistor, Resistor];
  readonly #feed: LimitedSource;
  readonly #turning = new Turning(USUAL);
  #driven = false;
  #poweredReleased = false;
  #released_s = 0;
  #ranUnasked = false;
  readonly #brushes: Brushes;
  readonly #motor: Motor;
  #fresh_s = 0;

  constructor(
    private readonly parts: BrushedParts,
    trigger: "mechanical" | "electronic",
  ) {
    const { network } = this;
    this.points = new Map(BRUSHED_POINTS.map((point) => [point, network.node(point)]));
    this.#supply = new Supply(network, parts);
    this.#join("terminal-plus", "switch-in-plus", JOINT_OHM);
    this.#join("terminal-minus", "switch-in-minus", JOINT_OHM);
    const TriggerKind = trigger === "mechanical" ? MechanicalTrigger : ElectronicTrigger;
    this.#trigger = new TriggerKind(network, parts.switch);
    this.#join("switch-in-minus", "switch-out-minus", parts.switch.minus_ohm);
    this.#lugs = [
      this.#join("switch-out-plus", "lead-red-end", JOINT_OHM),
      this.#join("switch-out-minus", "lead-black-end", JOINT_OHM),
    ];
    this.#leads = [
      this.#join("lead-red-end", "brush-a", parts.leads.red_ohm),
      this.#join("lead-black-end", "brush-b", parts.leads.black_ohm),
    ];
    const [a, b] = [network.node("brush-a"), network.node("brush-b")];
    this.#feed = network.add(new LimitedSource(a, b, FEED));
    [this.#brushes, this.#motor] = this.#buildMotor();
  }

  put(state: ToolState): void {
    const { parts } = this;
    this.#fresh_s = FRESH_S;
    this.#supply.put(state);
    this.#trigger.put(state.squeezed);
    const out = state.case === "motor-out";
    this.#feed.on = state.pack === "at-motor" && !out;
    this.#driven = this.#feed.on || (state.pack === "in" && state.squeezed);
    this.#poweredReleased = state.pack === "in" && !state.squeezed;
    for (const lug of this.#lugs) lug.ohm = state.motor === "connected" ? JOINT_OHM : OPEN_OHM;
    this.#leads[0].ohm = out ? OPEN_OHM : parts.leads.red_ohm;
    this.#leads[1].ohm = out ? OPEN_OHM : parts.leads.black_ohm;
    this.#motor.locked = parts.motor.seized || (parts.gears.jammed && !out);
    this.#motor.turnedAt = this.#motor.locked ? null : state.turned;
  }

  step(dt_s: number): void {
    const { motor, brushes } = this.parts;
    const { angle } = this.#motor;
    this.#fresh_s = Math.max(0, this.#fresh_s - dt_s);
    this.#trigger.before(dt_s);
    this.#motor.extra_ohm = motor.open ? OPEN_OHM : commutator_ohm(angle, motor.burntBar);
    if (brushes.wear === "stuck") this.#brushes.extra_ohm = OPEN_OHM;
    if (brushes.wear === "worn") this.#brushes.extra_ohm = wornBrush_ohm(angle);
    this.network.step(dt_s);
    this.#supply.after(dt_s);
    this.#watchMotor(dt_s);
  }

  answer(question: string): string | null {
    if (RUNNING_QUESTIONS.includes(question)) return this.#turned(question);
    return feltOf(this.parts, question) ?? this.#supply.answer(question);
  }

  get lively(): boolean {
    return this.#fresh_s > 0 || this.#motor.speed !== 0;
  }

  get supply_A(): number {
    return this.#supply.ampere;
  }

  #turned(question: string): string | null {
    if (question === "motor-turns" && this.#ranUnasked) return "unasked";
    const { manner } = this.#turning;
    return manner === "runs" && this.parts.gears.slipping ? "slips" : manner;
  }

  #watchMotor(dt_s: number): void {
    const { speed, ampere, extra_ohm } = this.#motor;
    const runs = Math.abs(speed) > 0.1 * USUAL.speed && ampere > 0.5;
    this.#released_s = this.#poweredReleased && runs ? this.#released_s + dt_s : 0;
    if (this.#released_s > RUN_DOWN_S) this.#ranUnasked = true;
    const open = Math.max(extra_ohm, this.#brushes.extra_ohm) >= OPEN_OHM;
    this.#turning.watch(this.#driven ? { speed, ampere, open } : null, dt_s);
  }

  #join(a: Point, b: Point, ohm: number): Resistor {
    return this.network.add(new Resistor(this.network.node(a), this.network.node(b), ohm));
  }

  /** Both brushes stand for one contact here; brush b is a plain joint to its side. */
  #buildMotor(): [Brushes, Motor] {
    const { network, parts } = this;
    const a = network.node("commutator-a");
    const b = network.node("commutator-b");
    this.#join("commutator-b", "brush-b", JOINT_OHM);
    const brushes = new Brushes(network.node("brush-a"), a, parts.brushes);
    return [network.add(brushes), network.add(new Motor(a, b, parts.motor))];
  }
}
