import { brushlessSightings, PHASES } from "./brushless-sightings.js";
import { brushlessElements, brushlessParts } from "./brushless-network.js";
import { cordlessConditions } from "./conditions.js";
import { drivePart, driveSightings, gearsByHand, packSightings } from "./drive.js";
import type { Point, Probe, Sighting, ToolModel } from "./model.js";
import {
  chargerManners,
  point,
  supplyElements,
  supplyParts,
  supplyPoints,
  supplyProbes,
  terminalsPart,
} from "./pack-side.js";
import { ohms, volts } from "./parts-of.js";
import { packData } from "./tool-data.js";
import type { ToolData } from "./tool-data.js";

/**
 * A cordless tool with a brushless motor: the trigger only signals, a controller switches three
 * phases in a star. Under power the controller and its motor are one load to the network; what the
 * running phases show beside each other is seen, not predicted. Windings are measured without power
 * and with the three leads freed, where the controller is as good as open.
 */
export function cordlessBrushless(data: ToolData): ToolModel {
  const pack = packData(data);
  return {
    kind: "cordless-brushless",
    title: "Cordless tool, brushless motor",
    nominal_V: pack.nominal_V,
    parts: [...supplyParts(pack), terminalsPart(), ...brushlessParts(), drivePart("drive")],
    points: [...supplyPoints, ...toolPoints],
    elements: [...supplyElements(pack), ...brushlessElements()],
    manners: chargerManners(data),
    conditions: cordlessConditions,
    sightings: [
      ...brushlessSightings,
      ...driveSightings("motor", "pack-out").filter(isOwn).map(onTwoPhases),
      ...packSightings("motor").map(onTwoPhases),
      gearsByHand,
    ],
    probes,
  };
}

const isOwn = ({ id }: Sighting): boolean => id !== "motor-turns";

/** With one phase missing the motor stutters or stays where it is. */
function onTwoPhases(sighting: Sighting): Sighting {
  if (sighting.from !== "motor" || sighting.follows !== undefined) return sighting;
  const p = { yes: 0.02, slowly: 0.08, jerks: 0.5, no: 0.4 };
  const missing = (part: string) => ({ part, mode: "open" as const, p });
  return {
    ...sighting,
    overrides: [...sighting.overrides, missing("motor"), missing("phase-leads")],
  };
}

const toolPoints: readonly Point[] = [
  point("controller-plus", "Controller input plus", "terminals", "open"),
  point("controller-minus", "Controller input minus", "terminals", "open"),
  point("trigger-supply", "Trigger supply", "controller", "open"),
  point("trigger-signal", "Trigger signal", "trigger", "open"),
  ...PHASES.map((x) =>
    point(`bridge-${x}`, `Controller output ${x.toUpperCase()}`, "controller", "open"),
  ),
  ...PHASES.map((x) =>
    point(`phase-${x}`, `Motor lead ${x.toUpperCase()} at the controller`, "controller", "open"),
  ),
  ...PHASES.map((x) =>
    point(`motor-${x}`, `Phase ${x.toUpperCase()} at the motor`, "phase-leads", "motor-out"),
  ),
  point("motor-body", "Bare metal of the motor", "motor", "open"),
];

const probes: readonly Probe[] = [
  ...supplyProbes,
  volts("controller-plus", "controller-minus", "lamp-on-tool"),
  volts("controller-plus", "controller-minus", "squeezed"),
  volts("controller-plus", "controller-minus", "known-pack-squeezed"),
  ohms("terminal-plus", "controller-plus"),
  ohms("terminal-minus", "controller-minus"),
  ohms("controller-plus", "controller-minus"),
  volts("trigger-supply", "controller-minus", "at-rest"),
  volts("trigger-supply", "controller-minus", "squeezed"),
  volts("trigger-signal", "controller-minus", "squeezed"),
  ohms("trigger-supply", "trigger-signal", "pack-out-squeezed"),
  ohms("phase-u", "phase-v"),
  ohms("phase-v", "phase-w"),
  ohms("phase-w", "phase-u"),
  ohms("phase-u", "motor-body"),
  ...PHASES.map((x) => ohms(`phase-${x}`, `motor-${x}`)),
  ohms("motor-u", "motor-v"),
  ohms("motor-v", "motor-w"),
  ohms("motor-w", "motor-u"),
];
