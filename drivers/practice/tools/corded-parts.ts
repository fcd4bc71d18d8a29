import type { BrushData } from "../circuit/brush.js";
import { OPEN_OHM } from "../circuit/elements.js";
import type { MotorData } from "../circuit/motor.js";
import type { Chance } from "../random.js";
import { about } from "./supply-parts.js";
import type { PartFault } from "./tool.js";

/** A corded tool of some 800 W at 230 V; invented, typical of the class, from memory. */
export interface CordedParts {
  cord: { live_ohm: number; neutral_ohm: number };
  /** Protective conductor from plug to body, ohms; null: double insulated, there is none. */
  earth: number | null;
  switch: { closed_ohm: number; neutral_ohm: number };
  field_ohm: number;
  brushes: BrushData & { worn: boolean };
  armature: MotorData & { open: boolean; burntBar: boolean };
  insulation_ohm: number;
  /** Across the suppression capacitor: its discharge resistor, or a short. */
  bleed_ohm: number;
  gears: { jammed: boolean };
}

export function healthyCorded(chance: Chance): CordedParts {
  return {
    cord: { live_ohm: about(chance, 0.08), neutral_ohm: about(chance, 0.08) },
    earth: null,
    switch: { closed_ohm: about(chance, 0.02), neutral_ohm: about(chance, 0.02) },
    field_ohm: about(chance, 2.6),
    brushes: { drop_volt: 0.4, knee_A: 1, worn: false },
    armature: {
      winding_ohm: about(chance, 3.2),
      winding_H: 5e-3,
      // Without current in the field hardly any flux is left.
      ke: 1e-4,
      inertia: 1e-4,
      dry_Nm: 0.02,
      viscous: 1e-5,
      open: false,
      burntBar: false,
    },
    insulation_ohm: OPEN_OHM,
    bleed_ohm: about(chance, 1e6),
    gears: { jammed: false },
  };
}

/** Sizes are invented, kinds are the trade's. */
export const CORDED_FAULTS: readonly PartFault<CordedParts>[] = [
  {
    id: "cord-live-broken",
    label: "Cord broken, live",
    part: "cord",
    does: "The live conductor is broken where the cord enters the tool.",
    change: ({ cord }) => Object.assign(cord, { live_ohm: OPEN_OHM }),
  },
  {
    id: "cord-neutral-broken",
    label: "Cord broken, neutral",
    part: "cord",
    does: "The neutral conductor is broken where the cord enters the tool.",
    change: ({ cord }) => Object.assign(cord, { neutral_ohm: OPEN_OHM }),
  },
  {
    id: "earth-broken",
    label: "Protective conductor broken",
    part: "cord",
    does: "An earthed tool whose protective conductor does not reach the body.",
    change: (parts) => Object.assign(parts, { earth: OPEN_OHM }),
  },
  {
    id: "switch-open",
    label: "Switch does not close",
    part: "switch",
    does: "The live pole of the switch stays open when squeezed.",
    change: (parts) => Object.assign(parts.switch, { closed_ohm: OPEN_OHM }),
  },
  {
    id: "switch-burnt",
    label: "Switch contact burnt",
    part: "switch",
    does: "The live pole of the switch closes with several ohms.",
    change: (parts) => Object.assign(parts.switch, { closed_ohm: 6 }),
  },
  {
    id: "switch-neutral-open",
    label: "Switch does not close its neutral pole",
    part: "switch",
    does: "The neutral pole of the switch stays open when squeezed.",
    change: (parts) => Object.assign(parts.switch, { neutral_ohm: OPEN_OHM }),
  },
  {
    id: "capacitor-shorted",
    label: "Suppression capacitor shorted",
    part: "suppressor",
    does: "The capacitor across the line has broken through.",
    change: (parts) => Object.assign(parts, { bleed_ohm: 0.4 }),
  },
  {
    id: "field-open",
    label: "Field winding open",
    part: "field",
    does: "The field winding is burnt through.",
    change: (parts) => Object.assign(parts, { field_ohm: OPEN_OHM }),
  },
  {
    id: "field-shorted",
    label: "Field winding shorted",
    part: "field",
    does: "Most turns of the field are bridged.",
    change: (parts) => Object.assign(parts, { field_ohm: 0.2 }),
  },
  {
    id: "brush-worn",
    label: "Brush worn down",
    part: "brushes",
    does: "The brush hardly reaches the commutator: contact comes and goes with the angle.",
    change: ({ brushes }) => Object.assign(brushes, { worn: true }),
  },
  {
    id: "armature-open",
    label: "Armature winding open",
    part: "armature",
    does: "No current passes the armature at any angle.",
    change: ({ armature }) => Object.assign(armature, { open: true }),
  },
  {
    id: "armature-burnt-bar",
    label: "Commutator bar burnt",
    part: "armature",
    does: "At some angles of the shaft the armature is open.",
    change: ({ armature }) => Object.assign(armature, { burntBar: true }),
  },
  {
    id: "gear-jam",
    label: "Gear train jammed",
    part: "gear-train",
    does: "The gears block the armature.",
    change: ({ gears }) => Object.assign(gears, { jammed: true }),
  },
  {
    id: "insulation-poor",
    label: "Insulation poor",
    part: "armature",
    does: "Carbon dust and damp: some hundred kilohms from the winding to the body.",
    change: (parts) => Object.assign(parts, { insulation_ohm: 300e3 }),
  },
];
