import { OPEN_OHM } from "../circuit/elements.js";

/** Bars of the invented armature. */
const BARS = 12;
/** How much the armature resistance moves while a brush passes from bar to bar, ohms. */
const BAR_RIPPLE_OHM = 0.04;
/** Share of a bar's pitch over which a worn brush still touches. */
const WORN_TOUCHES = 0.35;

/** Resistance that the commutator adds at this angle of the shaft (rad), ohms. */
export function commutator_ohm(angle: number, burntBar: boolean): number {
  const pitches = (angle / (2 * Math.PI)) * BARS;
  const within = pitches - Math.floor(pitches);
  const bar = ((Math.floor(pitches) % BARS) + BARS) % BARS;
  // Two brushes stand opposite: each of them passes the burnt bar once a turn.
  if (burntBar && bar % (BARS / 2) === 0 && within > 0.15) return OPEN_OHM;
  return BAR_RIPPLE_OHM * Math.sin(Math.PI * within) ** 2;
}

/** What a brush that hardly reaches the commutator adds at this angle, ohms. */
export function wornBrush_ohm(angle: number): number {
  const pitches = (angle / (2 * Math.PI)) * BARS;
  const within = pitches - Math.floor(pitches);
  return within < WORN_TOUCHES ? 4 : OPEN_OHM;
}
