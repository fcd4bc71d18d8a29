import { OPEN_OHM } from "../circuit/elements.js";
import type { BrushedParts } from "./brushed-parts.js";
import type { Fault } from "./tool.js";

interface BrushedFault extends Fault {
  readonly change: (parts: BrushedParts) => void;
}

/** One entry a fault; two or more may be hidden at once. Sizes are invented, kinds are the trade's. */
export const BRUSHED_FAULTS: readonly BrushedFault[] = [
  {
    id: "charger-dead",
    label: "Charger gives next to nothing",
    part: "charger",
    does: "The rectifier has failed; a few tenths of a volt are left at the output.",
    change: ({ charger }) => Object.assign(charger, { volt: 0.4, ohm: 50 }),
  },
  {
    id: "charger-fuse",
    label: "Fuse in the charger blown",
    part: "charger",
    does: "The fuse on the mains side is open; the output is at zero.",
    change: ({ charger }) => Object.assign(charger, { volt: 0, ohm: OPEN_OHM }),
  },
  {
    id: "pack-dead",
    label: "Pack open inside",
    part: "pack",
    does: "A strap between two cells is broken; nothing reaches the contacts.",
    change: ({ pack }) => Object.assign(pack, { strap_ohm: OPEN_OHM }),
  },
  {
    id: "pack-weak-cell",
    label: "Pack with one weak cell",
    part: "pack",
    does: "One cell has a high internal resistance: full at rest, collapses under load.",
    change: ({ pack }) => Object.assign(pack, { weak_ohm: 1.8 }),
  },
  {
    id: "pack-asleep",
    label: "Pack protection asleep",
    part: "pack",
    does: "The protection has switched the output off; a fraction of a volt leaks through.",
    change: ({ pack }) => Object.assign(pack, { switch_ohm: 50e6 }),
  },
  {
    id: "pack-discharged",
    label: "Pack discharged",
    part: "pack",
    does: "The cells are sound and empty.",
    change: ({ pack }) => Object.assign(pack, { charge: 0.03 }),
  },
  {
    id: "terminal-corroded",
    label: "Terminal corroded",
    part: "terminals",
    does: "The plus contact between pack and tool has over an ohm.",
    change: ({ terminals }) => Object.assign(terminals, { plus_ohm: 1.5 }),
  },
  {
    id: "switch-open",
    label: "Switch does not close",
    part: "switch",
    does: "The contact of the trigger switch stays open when squeezed.",
    change: ({ switch: contact }) => Object.assign(contact, { closed_ohm: OPEN_OHM }),
  },
  {
    id: "switch-burnt",
    label: "Switch contact burnt",
    part: "switch",
    does: "The contact of the trigger switch closes with over an ohm.",
    change: ({ switch: contact }) => Object.assign(contact, { closed_ohm: 2.4 }),
  },
  {
    id: "switch-stuck",
    label: "Switch contact welded",
    part: "switch",
    does: "The contact of the trigger switch does not open any more.",
    change: ({ switch: contact }) => Object.assign(contact, { open_ohm: 0.02 }),
  },
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
      Object.assign(motor, { viscous: motor.viscous + 3.5e-5 });
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
];
