/** What a tone can tell. */
export type ToneName = "held" | "pass" | "fail" | "borderline" | "lost";

export interface Note {
  /** Start, from the start of the tone. */
  readonly at_s: number;
  readonly for_s: number;
  readonly from_hz: number;
  /** The pitch at the end; the same as at the start unless it glides. */
  readonly to_hz: number;
}

/**
 * Each differs from every other in rhythm as well as in pitch, so that who hears only low tones, or
 * hears them through a wall, can still tell them apart.
 */
export const TONES: Readonly<Record<ToneName, readonly Note[]>> = {
  held: [note(0, 0.06, 1046)],
  pass: [note(0, 0.08, 659), note(0.1, 0.16, 988)],
  fail: [note(0, 0.22, 233), note(0.3, 0.22, 233), note(0.6, 0.44, 196)],
  borderline: [note(0, 0.2, 494), note(0.26, 0.06, 587), note(0.38, 0.2, 494)],
  lost: [glide(0, 0.5, 784, 262), glide(0.7, 0.5, 784, 262)],
};

function note(at_s: number, for_s: number, hz: number): Note {
  return { at_s, for_s, from_hz: hz, to_hz: hz };
}

function glide(at_s: number, for_s: number, from_hz: number, to_hz: number): Note {
  return { at_s, for_s, from_hz, to_hz };
}

/** In words, for the captions: nothing is only audible. */
export const TONE_WORDS: Readonly<Record<ToneName, string>> = {
  held: "one short tone: held",
  pass: "two rising tones: pass",
  fail: "three low tones: fail",
  borderline: "long, short, long: borderline",
  lost: "two falling tones: lost",
};
