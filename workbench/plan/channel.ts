import type { TimedReading } from "../../protocols/reading.js";
import { meterTrouble } from "../measurement/dial.js";
import type { Step } from "./schema.js";
import { Gestures } from "./touch.js";
import type { Gesture } from "./touch.js";

/**
 * With two meters on the bench, a step listens to the one whose dial fits it; where none or both
 * fit, to the first that was named.
 */
export class ChannelChoice {
  private readonly newest = new Map<string, TimedReading>();
  private readonly gestures = new Map<string, Gestures>();

  /** Follows the reading's channel, and tells whether the step listens to it. */
  push(reading: TimedReading, step: Step | null): { gestures: Gesture; mine: boolean } {
    const { channel } = reading;
    this.newest.set(channel, reading);
    const follower = this.gestures.get(channel) ?? new Gestures();
    this.gestures.set(channel, follower);
    const gestures = follower.push(reading);
    const mine = step !== null && (this.serves(channel, step) || isSecondMeter(reading, step));
    return { gestures, mine };
  }

  serves(channel: string, step: Step): boolean {
    return channel === this.chosen(step);
  }

  touching(step: Step): boolean | null {
    return this.gestures.get(this.chosen(step))?.touching ?? null;
  }

  chosen(step: Step): string {
    const channels = [...this.newest.keys()].sort();
    const [first = "a"] = channels;
    if (step.kind !== "measure") return first;
    const fits = (channel: string) => {
      const reading = this.newest.get(channel);
      return reading !== undefined && meterTrouble(step, reading)?.kind !== "turn-dial";
    };
    return channels.find(fits) ?? first;
  }
}

/** A sag also takes the current of a second meter, for the internal resistance. */
function isSecondMeter(reading: TimedReading, step: Step): boolean {
  return reading.quantity === "current" && step.kind === "measure" && step.watch.kind === "sag";
}
