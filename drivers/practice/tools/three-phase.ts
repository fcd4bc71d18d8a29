import { Diode } from "../circuit/diode.js";
import { OPEN_OHM, Resistor, Source } from "../circuit/elements.js";
import type { Network, Node } from "../circuit/network.js";
import { PHASES } from "./brushless-parts.js";
import type { BridgeSwitch, BrushlessParts, Phase } from "./brushless-parts.js";

/** High, low or floating: what the half bridge of phase U does in each sixth of a turn. */
const SIX_STEPS = [1, 1, 0, -1, -1, 0] as const;
/**
 * One sixth of an electrical turn, seconds. A real one is several times shorter; a meter averages
 * over many turns either way, and this one the steps of the bench can follow.
 */
const SIXTH_S = 1e-3;
const SHORTED_OHM = 0.02;
const DRIVER_OHM = 0.01;
/** The divider by which the controller listens to each phase: undriven, it lies at minus. */
const LISTENS_OHM = 47e3;

/** What the bridge does in one step of the bench. */
export interface Drive {
  readonly does: "nothing" | "holds" | "turns";
  /** Voltage of its rail, volts, and the current of the motor, ampere. */
  readonly rail_V: number;
  readonly ampere: number;
}

/**
 * Bridge, joints, leads and star of windings. Turning, each phase is a source that follows the six
 * steps of block commutation, pulse width averaged out, against the EMF of its winding; the current
 * of both is the one that the motor draws. What an AC function shows of it depends on the meter.
 */
export class ThreePhase {
  readonly #drivers = new Map<Phase, Source>();
  readonly #windings = new Map<Phase, Source>();
  readonly #joints = new Map<Phase, Resistor>();
  #time_s = 0;

  constructor(
    private readonly network: Network,
    private readonly parts: BrushlessParts,
    /** Share of the alternation that this meter's AC function passes on. */
    private readonly acShare: number,
  ) {
    for (const phase of PHASES) this.#build(phase);
  }

  /** The leads at the controller, joined or freed. */
  join(joined: boolean): void {
    for (const [phase, joint] of this.#joints)
      joint.ohm = joined ? this.parts.phases[phase].joint_ohm : OPEN_OHM;
  }

  /** Before each step of the network. */
  drive({ does, rail_V, ampere }: Drive, dt_s: number): void {
    this.#time_s += does === "turns" ? dt_s : 0;
    const sixth = Math.floor(this.#time_s / SIXTH_S + 1e-6);
    PHASES.forEach((phase, n) => {
      const driver = this.#drivers.get(phase);
      const winding = this.#windings.get(phase);
      if (driver === undefined || winding === undefined) return;
      const asked = SIX_STEPS[(sixth + 6 - 2 * n) % 6] ?? 0;
      // A half bridge that cannot pull up leaves its phase to the others for that long.
      const way = asked > 0 && !this.#pullsUp(phase) ? 0 : asked;
      const alternating_V = (way * rail_V * this.acShare) / 2;
      driver.ohm = does === "nothing" ? OPEN_OHM : DRIVER_OHM;
      driver.volt = does === "nothing" ? 0 : rail_V / 2 + alternating_V;
      const drop_V = way * ampere * this.#pathOhm(phase);
      winding.volt = does === "turns" ? alternating_V - drop_V : 0;
    });
  }

  /** All three phases are whole: with one missing no motor starts. */
  get isWhole(): boolean {
    return PHASES.every((phase) => this.#pathOhm(phase) < 10);
  }

  /** Joints and leads beyond those of a sound tool, as one resistance at the supply, ohms. */
  get extra_ohm(): number {
    const extra = PHASES.map((phase) => {
      const { joint_ohm, lead_ohm } = this.parts.phases[phase];
      return joint_ohm + lead_ohm;
    });
    // Two of three phases carry the current at any moment.
    return (2 / 3) * extra.reduce((sum, ohm) => sum + ohm, 0);
  }

  get hasBurntJoint(): boolean {
    return PHASES.some((phase) => this.parts.phases[phase].joint_ohm > 0.3);
  }

  /** A transistor is shorted: the controller finds it before it drives anything. */
  get isShorted(): boolean {
    return this.#any((state) => state === "shorted");
  }

  /** Some half bridge does its work one way only: it runs, and roughly. */
  get isLame(): boolean {
    return PHASES.some((phase) => !this.#pullsUp(phase)) || this.#any((state) => state === "open");
  }

  #any(wanted: (state: BridgeSwitch) => boolean): boolean {
    return Object.values(this.parts.bridge).some(({ low, high }) => wanted(low) || wanted(high));
  }

  #pullsUp(phase: Phase): boolean {
    return this.parts.gates[phase] && this.parts.bridge[phase].high !== "open";
  }

  #pathOhm(phase: Phase): number {
    const { joint_ohm, lead_ohm, winding_ohm } = this.parts.phases[phase];
    return joint_ohm + lead_ohm + winding_ohm + DRIVER_OHM;
  }

  #build(phase: Phase): void {
    const { network, parts } = this;
    const node = (name: string): Node => network.node(name);
    const [output, lead, motor] = [`bridge-${phase}`, `phase-${phase}`, `motor-${phase}`].map(node);
    if (output === undefined || lead === undefined || motor === undefined) return;
    const { low, high } = parts.bridge[phase];
    this.#transistor(node("controller-minus"), output, low);
    this.#transistor(output, node("controller-plus"), high);
    this.#drivers.set(
      phase,
      network.add(new Source(output, node("controller-minus"), 0, OPEN_OHM)),
    );
    network.add(new Resistor(output, node("controller-minus"), LISTENS_OHM));
    this.#joints.set(phase, network.add(new Resistor(output, lead, OPEN_OHM)));
    const { lead_ohm, winding_ohm } = parts.phases[phase];
    network.add(new Resistor(lead, motor, lead_ohm));
    this.#windings.set(phase, network.add(new Source(motor, node("star"), 0, winding_ohm)));
  }

  #transistor(anode: Node, cathode: Node, state: BridgeSwitch): void {
    const { network } = this;
    if (state === "shorted") network.add(new Resistor(anode, cathode, SHORTED_OHM));
    else network.add(new Diode(anode, cathode, state === "open"));
  }
}
