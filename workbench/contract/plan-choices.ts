/** What a field of a plan may say: the plan format and the editor both take it from here. */
export const PLAN_CHOICES = {
  kind: ["measure", "do", "look", "wait"],
  trigger: ["released", "squeezed", "worked"],
  /** `at-motor`: out of the tool, and a known supply on the motor's own terminals. */
  pack: ["in", "out", "at-motor"],
  charger: ["plugged", "unplugged"],
  shaft: ["still", "turned-by-hand"],
  case: ["closed", "open", "motor-out"],
  mains: ["plugged", "unplugged"],
  /** Whether the motor is connected to its switch or controller. */
  motor: ["connected", "disconnected"],
  watch: ["settle", "sag", "change", "sweep"],
  rule: ["guarded", "simple"],
  polarity: ["as-marked", "either"],
  zero: ["prove", "accept", "note"],
  need: ["pass", "fail", "judged", "any", "not-pass"],
  answer: ["pass", "fail", "not-judged"],
  caution: ["mains", "capacitor", "pack", "lithium-damaged", "moving-tool", "power-off-for-ohms"],
} as const;

/** Figures that a watch finds beside the value, by the watch's kind. */
export const WATCH_DETAILS = {
  settle: [],
  sag: ["baseline", "floor", "plateau", "recovery"],
  change: ["squeezed", "released", "interruptions", "longestInterruption"],
  sweep: ["least", "greatest"],
} as const;

/** The part of a plan's points that are the known source. */
export const KNOWN_SOURCE = "known-source";
