import { OPEN_OHM } from "../circuit/elements.js";
import type { MotorData } from "../circuit/motor.js";
import type { Chance } from "../random.js";
import { SUPPLY_FAULTS, about, healthySupply } from "./supply-parts.js";
import type { SupplyParts } from "./supply-parts.js";
import type { PartFault } from "./tool.js";

export const PHASES = ["u", "v", "w"] as const;
export type Phase = (typeof PHASES)[number];

/** One switch of the bridge: the junction in its body, blown open, or shorted. */
export type BridgeSwitch = "sound" | "open" | "shorted";

/** A phase from the controller's output to the star point, ohms. */
export interface PhasePath {
  joint_ohm: number;
  lead_ohm: number;
  winding_ohm: number;
}

/** What a cordless brushless drill is made of; invented, typical of the class, from memory. */
export interface BrushlessParts extends SupplyParts {
  /** `drives`: its output stage is switched at all. */
  controller: { alive: boolean; drives: boolean; joint_ohm: number };
  bridge: Record<Phase, { low: BridgeSwitch; high: BridgeSwitch }>;
  /** Whether the upper transistor of each half bridge gets its gate signal. */
  gates: Record<Phase, boolean>;
  trigger: { closed_ohm: number };
  phases: Record<Phase, PhasePath>;
  /** The cable of the rotor position sensors; unplugged, all three outputs are pulled up. */
  sensorsPlugged: boolean;
  /** Shorted turns brake the rotor, however it is turned. */
  drags: boolean;
  /** From winding u to the body of the motor. */
  earth_ohm: number;
  /** The running motor as seen from the supply. */
  motor: MotorData;
  shaft: { seized: boolean; jammed: boolean };
}

const KE = 8.4e-3;
const WINDING_OHM = 0.06;
/** What it takes to turn a rotor with shorted turns, as a current of the motor. */
const SHORTED_TURNS_A = 18;

function soundPair(): { low: BridgeSwitch; high: BridgeSwitch } {
  return { low: "sound", high: "sound" };
}

export function healthyBrushless(chance: Chance): BrushlessParts {
  const winding = about(chance, WINDING_OHM);
  const path = (share: number): PhasePath => ({
    joint_ohm: 0.002,
    lead_ohm: 0.008,
    winding_ohm: winding * share,
  });
  return {
    ...healthySupply(chance),
    controller: { alive: true, drives: true, joint_ohm: 0.003 },
    bridge: { u: soundPair(), v: soundPair(), w: soundPair() },
    gates: { u: true, v: true, w: true },
    trigger: { closed_ohm: 500 },
    phases: { u: path(1), v: path(1.01), w: path(0.99) },
    sensorsPlugged: true,
    drags: false,
    earth_ohm: OPEN_OHM,
    motor: {
      winding_ohm: about(chance, 0.12),
      winding_H: 60e-6,
      ke: about(chance, KE, 0.02),
      inertia: 1.5e-5,
      dry_Nm: about(chance, KE * 2),
      viscous: about(chance, (KE * 1.1) / 2000),
    },
    shaft: { seized: false, jammed: false },
  };
}

/** Sizes are invented, kinds are the trade's. */
export const BRUSHLESS_FAULTS: readonly PartFault<BrushlessParts>[] = [
  ...SUPPLY_FAULTS,
  {
    id: "controller-dead",
    label: "Controller dead",
    part: "controller",
    does: "Its own supply has failed: no voltage for the trigger, no output.",
    change: ({ controller }) => Object.assign(controller, { alive: false }),
  },
  {
    id: "controller-joint",
    label: "Bad joint of the plus wire at the controller",
    part: "terminals",
    does: "The plus wire hangs by a strand: hundreds of ohms.",
    change: ({ controller }) => Object.assign(controller, { joint_ohm: 300 }),
  },
  {
    id: "bridge-low-u-shorted",
    label: "Bridge, low side of U shorted",
    part: "controller",
    does: "The transistor between minus and phase U conducts always; the controller locks out.",
    change: ({ bridge }) => Object.assign(bridge.u, { low: "shorted" }),
  },
  {
    id: "bridge-high-v-open",
    label: "Bridge, high side of V open",
    part: "controller",
    does: "The transistor between phase V and plus is blown open.",
    change: ({ bridge }) => Object.assign(bridge.v, { high: "open" }),
  },
  {
    id: "half-bridge-w-dead",
    label: "Half bridge W switches one way only",
    part: "controller",
    does: "The driver of the upper transistor of W is dead; the transistors themselves are sound.",
    change: ({ gates }) => Object.assign(gates, { w: false }),
  },
  {
    id: "controller-silent",
    label: "Controller gives no output",
    part: "controller",
    does: "Its logic is supplied, the trigger tells it to run, and it switches nothing.",
    change: ({ controller }) => Object.assign(controller, { drives: false }),
  },
  {
    id: "sensors-unplugged",
    label: "Rotor position sensors lost",
    part: "position-sensors",
    does: "The cable of the sensors has lost contact: the controller does not know where the rotor is.",
    change: (parts) => Object.assign(parts, { sensorsPlugged: false }),
  },
  {
    id: "trigger-dead",
    label: "Trigger gives no signal",
    part: "trigger",
    does: "The contact of the trigger stays open when squeezed.",
    change: ({ trigger }) => Object.assign(trigger, { closed_ohm: OPEN_OHM }),
  },
  {
    id: "winding-u-open",
    label: "Winding U open",
    part: "motor",
    does: "Phase U of the motor is burnt through.",
    change: ({ phases }) => Object.assign(phases.u, { winding_ohm: OPEN_OHM }),
  },
  {
    id: "winding-v-shorted",
    label: "Winding V has shorted turns",
    part: "motor",
    does: "Some turns of phase V are burnt together: they brake the rotor, and the motor draws many times its current.",
    change: (parts) => {
      Object.assign(parts.phases.v, { winding_ohm: 0.03 });
      Object.assign(parts.motor, { dry_Nm: KE * SHORTED_TURNS_A });
      Object.assign(parts, { drags: true });
    },
  },
  {
    id: "lead-w-open",
    label: "Motor lead W broken",
    part: "phase-leads",
    does: "The lead of phase W is broken inside its insulation.",
    change: ({ phases }) => Object.assign(phases.w, { lead_ohm: OPEN_OHM }),
  },
  {
    id: "joint-v-burnt",
    label: "Joint of motor lead V burnt",
    part: "phase-leads",
    does: "The joint of lead V at the controller has over an ohm; freed, the lead itself is sound.",
    change: ({ phases }) => Object.assign(phases.v, { joint_ohm: 1.2 }),
  },
  {
    id: "winding-earthed",
    label: "Winding touches the body",
    part: "motor",
    does: "The insulation of a winding is burnt: some kilohms to the body of the motor.",
    change: (parts) => Object.assign(parts, { earth_ohm: 20e3 }),
  },
  {
    id: "motor-seized",
    label: "Motor seized",
    part: "motor",
    does: "The bearing of the motor is stuck; the shaft does not turn.",
    change: ({ shaft }) => Object.assign(shaft, { seized: true }),
  },
  {
    id: "gear-jam",
    label: "Gear train jammed",
    part: "gear-train",
    does: "The gears block the motor; taken out, the motor turns freely.",
    change: ({ shaft }) => Object.assign(shaft, { jammed: true }),
  },
];
