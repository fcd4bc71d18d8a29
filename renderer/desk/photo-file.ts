import type { CallParams } from "../../workbench/contract/calls.js";

export type Moment = CallParams<"addPhoto">["moment"];

export const MOMENTS: readonly (readonly [Moment, string])[] = [
  ["on-arrival", "On arrival"],
  ["at-work", "At work"],
  ["after-repair", "After the repair"],
];

/** A photo that is chosen and not yet in a job. */
export interface ChosenPhoto {
  readonly file: File;
  readonly caption: string;
}

/** What a photo shows has to be said, for the report's readers who cannot see it. */
export function isWordless({ caption }: ChosenPhoto): boolean {
  return caption.trim() === "";
}
