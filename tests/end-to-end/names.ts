/**
 * What the reasoning may name for each fault, from the bundled plan of its kind alone: one part, or
 * the parts that nothing in this plan tells apart.
 */
type Names = Readonly<Record<string, readonly string[]>>;

/** The same in both tools with brushes. */
const BRUSHED: Names = {
  "charger-dead": ["charger"],
  "charger-fuse": ["charger"],
  "pack-dead": ["pack"],
  "pack-asleep": ["pack"],
  "pack-discharged": ["pack"],
  "pack-weak-cell": ["pack"],
  "terminal-corroded": ["terminals"],
  "terminal-bent": ["terminals"],
  "switch-minus-open": ["switch"],
  "lead-red-broken": ["lead-red"],
  "lead-black-broken": ["lead-black"],
  "lead-black-frayed": ["lead-black"],
  // Brushes that look good may still not carry, and a burnt bar is open where a brush is.
  "brush-worn": ["brushes", "motor"],
  "brush-stuck": ["brushes", "motor"],
  "motor-open": ["motor", "brushes"],
  "motor-burnt-bar": ["motor", "brushes"],
  "motor-shorted-turns": ["motor"],
  "motor-seized": ["motor"],
  "gear-jam": ["gear-train"],
  "gear-slip": ["gear-train"],
};

export const NAMES: Readonly<Record<string, Names>> = {
  "cordless-brushed": {
    ...BRUSHED,
    "switch-open": ["switch"],
    "switch-burnt": ["switch"],
    "switch-stuck": ["switch"],
  },
  "cordless-brushed-electronic": {
    ...BRUSHED,
    "switch-dead": ["switch"],
    "switch-shorted": ["switch"],
    "switch-weak": ["switch"],
  },
  "corded-universal": {
    "cord-live-broken": ["mains-cord"],
    "cord-neutral-broken": ["mains-cord"],
    "earth-broken": ["protective-conductor"],
    "switch-open": ["switch"],
    "switch-burnt": ["switch"],
    "switch-neutral-open": ["switch"],
    "capacitor-shorted": ["suppressor"],
    "field-open": ["field"],
    "field-shorted": ["field"],
    "brush-worn": ["brushes"],
    "armature-open": ["armature"],
    "armature-burnt-bar": ["armature"],
    // Unplugged, and with the motor in, a stuck spindle is either.
    "gear-jam": ["gear-train", "armature"],
    "insulation-poor": ["insulation"],
  },
  "cordless-brushless": {
    "charger-dead": ["charger"],
    "charger-fuse": ["charger"],
    "pack-dead": ["pack"],
    "pack-asleep": ["pack"],
    "pack-discharged": ["pack"],
    "pack-weak-cell": ["pack"],
    "terminal-corroded": ["terminals"],
    "terminal-bent": ["terminals"],
    "controller-joint": ["terminals"],
    "controller-dead": ["controller"],
    "bridge-low-u-shorted": ["controller"],
    "bridge-high-v-open": ["controller"],
    // A driver that is dead and a joint that looks sound lower their phase alike.
    "half-bridge-w-dead": ["controller", "phase-leads"],
    // Sensors may show a position that exists and still be dead.
    "controller-silent": ["controller", "position-sensors"],
    "sensors-unplugged": ["position-sensors", "controller"],
    "trigger-dead": ["trigger"],
    // Only at the motor's own terminals, with the motor out, are winding and lead told apart.
    "winding-u-open": ["motor", "phase-leads"],
    "lead-w-open": ["motor", "phase-leads"],
    // A motor that draws too much is a pack that sinks; its drag is felt, not measured.
    "winding-v-shorted": ["motor", "pack"],
    "joint-v-burnt": ["phase-leads"],
    "winding-earthed": ["motor"],
    "motor-seized": ["motor"],
    "gear-jam": ["gear-train"],
  },
  charger: {
    "charger-dead": ["converter"],
    "charger-shorted": ["converter"],
    "charger-ripple": ["converter"],
    "charger-no-current": ["converter", "output-lead"],
    "charger-too-high": ["converter"],
  },
  pack: {
    "cell-3-weak": ["cell-group-3"],
    "cell-2-low": ["cell-group-2"],
    // The strap that is broken lies between the second group and its tap.
    "pack-dead": ["cell-group-2"],
    // Neither is a defect: both are mended by a charger, and the part says so.
    "pack-asleep": ["charge"],
    "pack-discharged": ["charge"],
    "protection-dead": ["protection"],
    "thermistor-open": ["thermistor"],
    "thermistor-shorted": ["thermistor"],
  },
};
