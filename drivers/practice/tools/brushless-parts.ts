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

/** What a cordless brushless drill is made of; invented, typical of the class, from memory. */
export interface BrushlessParts extends SupplyParts {
  controller: { alive: boolean; joint_ohm: number };
  bridge: Record<Phase, { low: BridgeSwitch; high: BridgeSwitch }>;
  trigger: { closed_ohm: number };
  /** From each phase to the star point. */
  windings: Record<Phase, number>;
  /** From winding u to the body of the motor. */
  earth_ohm: number;
  /** The running motor as seen from the supply. */
  motor: MotorData;
  shaft: { seized: boolean; jammed: boolean };
}

const KE = 8.4e-3;
const WINDING_OHM = 0.06;

function soundPair(): { low: BridgeSwitch; high: BridgeSwitch } {
  return { low: "sound", high: "sound" };
}

export function healthyBrushless(chance: Chance): BrushlessParts {
  const winding = about(chance, WINDING_OHM);
  return {
    ...healthySupply(chance),
    controller: { alive: true, joint_ohm: 0.003 },
    bridge: { u: soundPair(), v: soundPair(), w: soundPair() },
    trigger: { closed_ohm: 500 },
    windings: { u: winding, v: winding * 1.01, w: winding * 0.99 },
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
    label: "Bad joint at the controller",
    part: "controller",
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
    change: ({ windings }) => Object.assign(windings, { u: OPEN_OHM }),
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
