import { POWERED } from "./common.js";
import { RUNNING_WATCH, task, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

/** The tool's own pack out, motor leads off the switch, a known supply on the brushes. */
const FED_DIRECTLY = { pack: "at-motor", case: "open", motor: "disconnected" } as const;
const fed = [{ step: "feed-on", verdict: "any" }] as const;

type Choices = Extract<StepInput, { kind: "look" }>["choices"];

/**
 * The motor fed directly, past pack, terminals, switch and leads; only where it did not run in the
 * tool. A motor that runs here is cleared, whatever an ohmmeter said of its brushes: film and dust
 * that a milliampere does not pass are nothing to ten volts. One that takes its voltage and stands
 * is open; one that pulls the supply down and stands is stuck or shorted.
 */
export function motorFedDirectly(choices: Choices): readonly StepInput[] {
  return [
    task("feed-on", "Feed the motor directly", {
      instruction:
        "Clamp the tool, chuck empty. Set a bench supply to the rated voltage and 10 amperes, or take a known good pack with a 10 ampere fuse in its lead. Clip it, still off, to brush A and brush B, plus to A. Then switch it on: the motor may start at once.",
      cautions: [...POWERED],
      needs: [{ step: "motor-turns", verdict: "not-pass" }],
      sets: { pack: "at-motor" },
    }),
    volts("motor-fed", "At the brushes, fed directly", {
      instruction: "Supply on for three seconds at a time. Red on brush A, black on brush B.",
      cautions: [...POWERED],
      needs: [...fed],
      red: "brush-a",
      black: "brush-b",
      condition: FED_DIRECTLY,
      watch: RUNNING_WATCH,
      low: "cells * 3",
      pass: "The supply holds. A motor that runs now is sound: look at switch, leads and what is before them.",
      fail: "The motor pulls the supply down: it is stuck, or its armature is shorted.",
    }),
    {
      kind: "look",
      id: "motor-turns-fed",
      title: "What the motor does, fed directly",
      instruction: "Stay clear of chuck and gear train. Say what motor and chuck do.",
      cautions: [...POWERED],
      needs: [...fed],
      choices,
    },
    task("feed-off", "Take the supply off the motor", {
      instruction: "Switch the supply off and take its clips off both brushes.",
      cautions: ["moving-tool"],
      needs: [...fed],
      sets: { pack: "out" },
    }),
  ];
}
