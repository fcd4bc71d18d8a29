import { OPEN_OHM } from "../circuit/elements.js";
import type { PackData } from "../circuit/pack.js";
import type { Chance } from "../random.js";
import type { PartFault } from "./tool.js";

/**
 * Charger, pack and terminals as figures that a fault may change; the same for every cordless
 * tool. Invented, typical of the 18 V class (five lithium-ion cells), from memory.
 */
export interface SupplyParts {
  charger: { volt: number; ohm: number; bleed_ohm: number };
  pack: PackData & { charge: number; weak_ohm: number; strap_ohm: number; switch_ohm: number };
  /** Each of the two contacts between pack and tool. */
  terminals: { plus_ohm: number; minus_ohm: number };
}

/** A value that differs a little from tool to tool. */
export function about(chance: Chance, value: number, share = 0.05): number {
  return value * (1 + chance.between(-share, share));
}

export function healthySupply(chance: Chance): SupplyParts {
  return {
    charger: {
      volt: about(chance, 21, 0.005),
      ohm: about(chance, 0.3),
      bleed_ohm: about(chance, 10e3),
    },
    pack: {
      cells: 5,
      capacity_Ah: 2,
      internal_ohm: about(chance, 0.14),
      relaxation: [
        { ohm: about(chance, 0.03), tau_s: about(chance, 0.8) },
        { ohm: about(chance, 0.03), tau_s: about(chance, 25) },
      ],
      charge: chance.between(0.82, 0.95),
      weak_ohm: 0,
      strap_ohm: 0,
      switch_ohm: about(chance, 0.006),
    },
    terminals: { plus_ohm: about(chance, 0.003), minus_ohm: about(chance, 0.003) },
  };
}

/** One entry a fault. Sizes are invented, kinds are the trade's. */
export const SUPPLY_FAULTS: readonly PartFault<SupplyParts>[] = [
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
    id: "terminal-bent",
    label: "Terminal bent away",
    part: "terminals",
    does: "The minus contact of the tool does not touch the pack.",
    change: ({ terminals }) => Object.assign(terminals, { minus_ohm: OPEN_OHM }),
  },
];
