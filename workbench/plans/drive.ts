import { task } from "./steps.js";
import type { StepInput } from "./steps.js";

const out = [{ step: "motor-out", verdict: "any" }] as const;

/** Which of both is stuck: the motor taken off its gears, and each of them turned by hand. */
export const drive: readonly StepInput[] = [
  task("motor-out", "Take the motor off the gear train", {
    instruction:
      "Pack out. Undo the motor from the gear case and pull it off; catch the grease and any loose balls or pins.",
    needs: [{ step: "chuck-turn", verdict: "fail" }],
    sets: { case: "motor-out" },
    removes: {
      what: "motor",
      from: "gear case",
      fasteners: 2,
      fastenerKind: "cross-recess screw, M4",
    },
  }),
  {
    kind: "look",
    id: "motor-shaft",
    title: "Shaft of the motor, turned by hand",
    instruction: "Turn the shaft of the motor by hand, and feel for play in its bearings.",
    needs: [...out],
    choices: [
      { id: "turns", label: "it turns, with the usual pull of its magnets", verdict: "pass" },
      { id: "stuck", label: "it is stuck, or grinds in its bearings", verdict: "fail" },
    ],
  },
  {
    kind: "look",
    id: "gears-input",
    title: "Gear train, turned at its input",
    instruction: "Turn the gear train by hand at its input wheel. Does the chuck follow?",
    needs: [...out],
    choices: [
      { id: "drives", label: "it turns and takes the chuck along", verdict: "pass" },
      { id: "stuck", label: "it is stuck or grinds", verdict: "fail" },
      { id: "slips", label: "it turns and the chuck stands", verdict: "fail" },
    ],
    photo: true,
  },
  task("motor-in", "Put the motor back on the gear train", {
    instruction:
      "Put the motor back on the gear case, pinion into the input wheel, and do its screws up.",
    needs: [...out],
    sets: { case: "open" },
    putsBack: ["motor-out"],
  }),
];
