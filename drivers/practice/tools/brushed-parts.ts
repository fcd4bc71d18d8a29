import type { PackData } from "../circuit/pack.js";
import type { MotorData } from "../circuit/motor.js";
import { OPEN_OHM } from "../circuit/elements.js";
import type { Chance } from "../random.js";

/**
 * What a cordless brushed drill is made of, as figures that a fault may change. The drill is
 * invented; the figures are typical of the class (18 V, five lithium-ion cells, motor of the
 * 550 size), from memory.
 */
export interface BrushedParts {
  charger: { volt: number; ohm: number; bleed_ohm: number };
  pack: PackData & { charge: number; weak_ohm: number; strap_ohm: number; switch_ohm: number };
  /** Each of the two contacts between pack and tool. */
  terminals: { plus_ohm: number; minus_ohm: number };
  switch: { closed_ohm: number; open_ohm: number };
  leads: { red_ohm: number; black_ohm: number };
  brushes: { drop_volt: number; knee_A: number; wear: "none" | "worn" | "stuck" };
  motor: MotorData & { open: boolean; burntBar: boolean; seized: boolean };
  gears: { jammed: boolean };
}

/** Volts per rad/s: 18 V less the drop at no load over 20 000 revolutions a minute. */
const KE = 8.4e-3;

/** A healthy drill; like parts differ a little from drill to drill. */
export function healthyParts(chance: Chance): BrushedParts {
  const about = (value: number, share = 0.05): number =>
    value * (1 + chance.between(-share, share));
  return {
    charger: { volt: about(21, 0.005), ohm: about(0.3), bleed_ohm: about(10e3) },
    pack: {
      cells: 5,
      capacity_Ah: 2,
      internal_ohm: about(0.14),
      relaxation: [
        { ohm: about(0.03), tau_s: about(0.8) },
        { ohm: about(0.03), tau_s: about(25) },
      ],
      charge: chance.between(0.82, 0.95),
      weak_ohm: 0,
      strap_ohm: 0,
      switch_ohm: about(0.006),
    },
    terminals: { plus_ohm: about(0.003), minus_ohm: about(0.003) },
    switch: { closed_ohm: about(0.012), open_ohm: OPEN_OHM },
    leads: { red_ohm: about(0.006), black_ohm: about(0.006) },
    brushes: { drop_volt: about(0.3), knee_A: about(1), wear: "none" },
    motor: {
      winding_ohm: about(0.1),
      winding_H: 60e-6,
      ke: about(KE, 0.02),
      inertia: 1.5e-5,
      dry_Nm: about(KE * 2.4),
      viscous: about((KE * 1.1) / 2000),
      open: false,
      burntBar: false,
      seized: false,
    },
    gears: { jammed: false },
  };
}
