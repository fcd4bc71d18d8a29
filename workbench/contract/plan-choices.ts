/** What a field of a plan may say: the plan format and the editor both take it from here. */
export const PLAN_CHOICES = {
  kind: ["measure", "do", "look", "wait"],
  trigger: ["released", "squeezed", "worked"],
  pack: ["in", "out"],
  charger: ["plugged", "unplugged"],
  shaft: ["still", "turned-by-hand"],
  case: ["closed", "open", "motor-out"],
  mains: ["plugged", "unplugged"],
  watch: ["settle", "sag", "change", "sweep"],
  rule: ["guarded", "simple"],
  polarity: ["as-marked", "either"],
  zero: ["prove", "accept", "note"],
  need: ["pass", "fail", "judged", "any"],
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
