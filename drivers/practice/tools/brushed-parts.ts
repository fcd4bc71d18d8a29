import type { BrushData } from "../circuit/brush.js";
import { OPEN_OHM } from "../circuit/elements.js";
import type { MotorData } from "../circuit/motor.js";
import type { Chance } from "../random.js";
import { SUPPLY_FAULTS, about, healthySupply } from "./supply-parts.js";
import type { SupplyParts } from "./supply-parts.js";
import type { PartFault } from "./tool.js";

/**
 * What a cordless brushed drill is made of, as figures that a fault may change. The drill is
 * invented; the figures are typical of the class (motor of the 550 size), from memory.
 */
export interface BrushedParts extends SupplyParts {
  /** `brake_ohm`: what shorts the motor while the trigger is released. */
  switch: { closed_ohm: number; open_ohm: number; minus_ohm: number; brake_ohm: number };
  leads: { red_ohm: number; black_ohm: number };
  brushes: BrushData & { wear: "none" | "worn" | "stuck" };
  motor: MotorData & { open: boolean; burntBar: boolean; seized: boolean };
  gears: { jammed: boolean; slipping: boolean };
}

/** Volts per rad/s: 18 V less the drop at no load over 20 000 revolutions a minute. */
export const KE = 8.4e-3;
/** A wire or solid joint inside the tool. */
export const JOINT_OHM = 0.003;

/** A healthy drill; like parts differ a little from drill to drill. */
export function healthyBrushed(chance: Chance): BrushedParts {
  return {
    ...healthySupply(chance),
    switch: {
      closed_ohm: about(chance, 0.012),
      open_ohm: OPEN_OHM,
      minus_ohm: JOINT_OHM,
      brake_ohm: 0.02,
    },
    leads: { red_ohm: about(chance, 0.006), black_ohm: about(chance, 0.006) },
    brushes: { drop_volt: about(chance, 0.3), knee_A: about(chance, 1), wear: "none" },
    motor: {
      winding_ohm: about(chance, 0.1),
      winding_H: 60e-6,
      ke: about(chance, KE, 0.02),
      inertia: 1.5e-5,
      // Together 2.2 A without load, the figure that the reasoning's model has.
      dry_Nm: about(chance, KE * 1.5),
      viscous: about(chance, (KE * 0.7) / 2000),
      open: false,
      burntBar: false,
      seized: false,
    },
    gears: { jammed: false, slipping: false },
  };
}

/** Faults of what lies behind the switch; sizes are invented, kinds are the trade's. */
const DRIVE_FAULTS: readonly PartFault<BrushedParts>[] = [
  {
    id: "lead-red-broken",
    label: "Red lead broken",
    part: "lead-red",
    does: "The lead from the switch to brush A is broken under its insulation.",
    change: ({ leads }) => Object.assign(leads, { red_ohm: OPEN_OHM }),
  },
  {
    id: "lead-black-broken",
    label: "Black lead broken",
    part: "lead-black",
    does: "The lead from the switch to brush B is broken under its insulation.",
    change: ({ leads }) => Object.assign(leads, { black_ohm: OPEN_OHM }),
  },
  {
    id: "lead-black-frayed",
    label: "Black lead frayed",
    part: "lead-black",
    does: "A few strands are left of the lead from the switch to brush B: two ohms.",
    change: ({ leads }) => Object.assign(leads, { black_ohm: 2 }),
  },
  {
    id: "brush-worn",
    label: "Brush worn down",
    part: "brushes",
    does: "The brush hardly reaches the commutator: contact comes and goes with the angle.",
    change: ({ brushes }) => Object.assign(brushes, { wear: "worn" }),
  },
  {
    id: "brush-stuck",
    label: "Brush stuck in its holder",
    part: "brushes",
    does: "The brush does not touch the commutator at any angle.",
    change: ({ brushes }) => Object.assign(brushes, { wear: "stuck" }),
  },
  {
    id: "motor-open",
    label: "Armature winding open",
    part: "motor",
    does: "No current passes the armature at any angle.",
    change: ({ motor }) => Object.assign(motor, { open: true }),
  },
  {
    id: "motor-burnt-bar",
    label: "Commutator bar burnt",
    part: "motor",
    does: "At some angles of the shaft the armature is open.",
    change: ({ motor }) => Object.assign(motor, { burntBar: true }),
  },
  {
    id: "motor-shorted-turns",
    label: "Armature with shorted turns",
    part: "motor",
    does: "Less resistance, less back-EMF and a drag: the motor draws several times its current.",
    change: ({ motor }) => {
      Object.assign(motor, { winding_ohm: motor.winding_ohm * 0.4, ke: motor.ke * 0.75 });
      Object.assign(motor, { viscous: motor.viscous + 4.2e-5 });
    },
  },
  {
    id: "motor-seized",
    label: "Motor seized",
    part: "motor",
    does: "The bearing of the motor is stuck; the shaft does not turn.",
    change: ({ motor }) => Object.assign(motor, { seized: true }),
  },
  {
    id: "gear-jam",
    label: "Gear train jammed",
    part: "gear-train",
    does: "The gears block the motor; taken out, the motor turns freely.",
    change: ({ gears }) => Object.assign(gears, { jammed: true }),
  },
  {
    id: "gear-slip",
    label: "Gear train slips",
    part: "gear-train",
    does: "A pinion or a pin has sheared: the motor turns, the chuck stands.",
    change: ({ gears }) => Object.assign(gears, { slipping: true }),
  },
];

const MINUS_OPEN: PartFault<BrushedParts> = {
  id: "switch-minus-open",
  label: "Minus open at the switch",
  part: "switch",
  does: "The minus rail through the switch block is broken.",
  change: (parts) => Object.assign(parts.switch, { minus_ohm: OPEN_OHM }),
};

export const MECHANICAL_FAULTS: readonly PartFault<BrushedParts>[] = [
  ...SUPPLY_FAULTS,
  {
    id: "switch-open",
    label: "Switch does not close",
    part: "switch",
    does: "The contact of the trigger switch stays open when squeezed.",
    change: (parts) => Object.assign(parts.switch, { closed_ohm: OPEN_OHM }),
  },
  {
    id: "switch-burnt",
    label: "Switch contact burnt",
    part: "switch",
    does: "The contact of the trigger switch closes with over two ohms.",
    change: (parts) => Object.assign(parts.switch, { closed_ohm: 2.4 }),
  },
  {
    id: "switch-stuck",
    label: "Switch contact welded",
    part: "switch",
    does: "The contact of the trigger switch does not open any more.",
    change: (parts) => Object.assign(parts.switch, { open_ohm: 0.02 }),
  },
  MINUS_OPEN,
  ...DRIVE_FAULTS,
];

export const ELECTRONIC_FAULTS: readonly PartFault<BrushedParts>[] = [
  ...SUPPLY_FAULTS,
  {
    id: "switch-dead",
    label: "Electronic trigger dead",
    part: "switch",
    does: "The trigger's electronics never switch its transistor on.",
    change: (parts) => Object.assign(parts.switch, { closed_ohm: OPEN_OHM }),
  },
  {
    id: "switch-shorted",
    label: "Transistor of the trigger shorted",
    part: "switch",
    does: "The transistor conducts always, also with the trigger released.",
    change: (parts) => Object.assign(parts.switch, { open_ohm: 0.03 }),
  },
  {
    id: "switch-weak",
    label: "Transistor of the trigger weak",
    part: "switch",
    does: "The transistor does not switch through: over an ohm is left.",
    change: (parts) => Object.assign(parts.switch, { closed_ohm: 1.6 }),
  },
  MINUS_OPEN,
  ...DRIVE_FAULTS,
];
