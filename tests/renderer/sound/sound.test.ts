import { describe, expect, it } from "vitest";
import { cueOf } from "../../../renderer/sound/cues.js";
import { SpeechQueue } from "../../../renderer/sound/speech-queue.js";
import { TONES } from "../../../renderer/sound/tones.js";
import { reduce } from "../../../renderer/store/reduce.js";
import { emptyState } from "../../../renderer/store/state.js";
import type { BenchEvent } from "../../../workbench/contract/events.js";
import { begin, contact, hello, meter, recorded, run } from "../scenario.js";

const limits = { low: 17.5, high: 21 };

function cues(...events: readonly BenchEvent[]) {
  let state = emptyState(0);
  return events.map((event) => {
    const cue = cueOf(event, state);
    state = reduce(state, event, 0);
    return cue;
  });
}

describe("tones", () => {
  const names = Object.keys(TONES) as (keyof typeof TONES)[];
  const pairs = names.flatMap((one, at) =>
    names.slice(at + 1).map((other) => [one, other] as const),
  );
  const rhythm = (name: keyof typeof TONES) => TONES[name].map(({ at_s, for_s }) => [at_s, for_s]);
  const pitch = (name: keyof typeof TONES) =>
    TONES[name].map(({ from_hz, to_hz }) => [from_hz, to_hz]);

  it.each(pairs)("%s and %s differ in rhythm and in pitch", (one, other) => {
    expect(rhythm(one)).not.toEqual(rhythm(other));
    expect(pitch(one)).not.toEqual(pitch(other));
  });
  it.each(names)("%s is over within 1.5 s", (name) => {
    for (const { at_s, for_s } of TONES[name]) expect(at_s + for_s).toBeLessThan(1.5);
  });
});

describe("cues", () => {
  it("say each fresh caution before the instruction, and not again while it stands", () => {
    const [, , first, second] = cues(
      hello,
      { type: "run", run },
      begin("pack-open", limits),
      begin("pack-sag", limits),
    );
    expect(first?.words).toMatch(/^Caution\. A pack can drive .* Red on pack plus/);
    expect(second?.words).toMatch(/^Caution\. The tool can start/);
    expect(second?.words).not.toContain("hundreds of amperes");
  });
  it("give one tone when held, not one a reading", () => {
    const [, , , first, again] = cues(
      hello,
      { type: "run", run },
      begin("pack-open", limits),
      contact("pack-open", "held"),
      contact("pack-open", "held"),
    );
    expect(first?.tone).toBe("held");
    expect(again).toBeNull();
  });
  it.each(["pass", "fail", "borderline"] as const)(
    "tell a recorded %s by its own tone and words",
    (verdict) => {
      const cue = cues(recorded("pack-open", verdict, 1))[0];
      expect(cue?.tone).toBe(verdict);
      expect(cue?.words).not.toBe("");
    },
  );
  it("tell the loss of a live meter, not the search for one", () => {
    expect(cues(meter("absent"), meter("lost"))).toEqual([null, null]);
    expect(cues(meter("live"), meter("lost"))[1]?.tone).toBe("lost");
  });

  it("tell a plan that ended early, and leave the end of a whole one to its conclusion", () => {
    expect(cueOf({ type: "ended", how: "stopped" }, emptyState(0))?.words).toMatch(/was stopped/);
    expect(cueOf({ type: "ended", how: "finished" }, emptyState(0))).toBeNull();
  });
});

describe("speech", () => {
  function queue() {
    const said: string[] = [];
    let done = (): void => undefined;
    const stopped: string[] = [];
    const speech = new SpeechQueue({
      say(words, end) {
        said.push(words);
        done = end;
      },
      stop: () => stopped.push(said.at(-1) ?? ""),
    });
    return { speech, said, stopped, end: () => done() };
  }

  it("says a verdict to its end before the next instruction", () => {
    const { speech, said, stopped, end } = queue();
    speech.say("Pass.", "verdict");
    speech.say("Next step.", "instruction");
    expect(said).toEqual(["Pass."]);
    end();
    expect(said).toEqual(["Pass.", "Next step."]);
    expect(stopped).toEqual([]);
  });
  it("breaks an instruction off for a prompt", () => {
    const { speech, said, stopped } = queue();
    speech.say("Long instruction.", "instruction");
    speech.say("Squeeze.", "prompt");
    expect(said).toEqual(["Long instruction.", "Squeeze."]);
    expect(stopped).toEqual(["Long instruction."]);
  });
  it("does not say an instruction that is out of date", () => {
    const { speech, said, end } = queue();
    speech.say("Fail.", "verdict");
    speech.say("Step two.", "instruction");
    speech.say("Step three.", "instruction");
    end();
    end();
    expect(said).toEqual(["Fail.", "Step three."]);
  });
  it("is silent at once when muted", () => {
    const { speech, said, stopped, end } = queue();
    speech.say("One.", "verdict");
    speech.say("Two.", "verdict");
    speech.silence();
    end();
    expect(said).toEqual(["One."]);
    expect(stopped).toEqual(["One."]);
  });
});
