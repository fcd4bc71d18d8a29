import { chanceOf } from "../random.js";
import { BRUSHED_POINTS, BrushedDrill } from "./brushed-drill.js";
import { ELECTRONIC_FAULTS, MECHANICAL_FAULTS, healthyBrushed } from "./brushed-parts.js";
import type { BrushedParts } from "./brushed-parts.js";
import { described, hide } from "./tool.js";
import type { PartFault, ToolKind } from "./tool.js";
import { ohms, volts } from "./tour.js";

const OPENED = { case: "open" } as const;
/** A released switch shorts the motor: off with its leads. */
const LOOSE = { ...OPENED, motor: "disconnected" } as const;
const RUNNING = { ...OPENED, pack: "in", trigger: "squeezed" } as const;

const supplyTour = [
  volts("known-plus", "known-minus"),
  volts("charger-plus", "charger-minus", { charger: "plugged" }),
  volts("pack-plus", "pack-minus"),
  volts("terminal-plus", "terminal-minus", { pack: "in", trigger: "worked" }),
  volts("switch-out-plus", "switch-out-minus", RUNNING),
];
const driveTour = [
  ohms("lead-red-end", "brush-a", LOOSE),
  ohms("lead-black-end", "brush-b", LOOSE),
  ohms("brush-a", "brush-b", LOOSE),
];

export const cordlessBrushed: ToolKind = brushed(
  "cordless-brushed",
  "Cordless drill, brushed motor, mechanical switch",
  "mechanical",
  MECHANICAL_FAULTS,
);

export const cordlessBrushedElectronic: ToolKind = brushed(
  "cordless-brushed-electronic",
  "Cordless drill, brushed motor, electronic trigger",
  "electronic",
  ELECTRONIC_FAULTS,
);

function brushed(
  kind: string,
  title: string,
  trigger: "mechanical" | "electronic",
  faults: readonly PartFault<BrushedParts>[],
): ToolKind {
  const throughSwitch = ohms("switch-in-plus", "switch-out-plus", {
    ...OPENED,
    trigger: "squeezed",
  });
  return {
    kind,
    title,
    faults: described(faults),
    points: BRUSHED_POINTS,
    tour: [...supplyTour, ...(trigger === "mechanical" ? [throughSwitch] : []), ...driveTour],
    build: (hidden, seed) =>
      new BrushedDrill(hide(healthyBrushed(chanceOf(seed, "parts")), faults, hidden), trigger),
  };
}
