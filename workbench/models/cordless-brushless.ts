import { cordlessConditions } from "./conditions.js";
import { drivePart, driveSightings, gearsByHand, packSightings } from "./drive.js";
import { about } from "./model.js";
import type { Effect, Element, Part, Point, Probe, Sighting, ToolModel } from "./model.js";
import {
  chargerManners,
  point,
  supplyElements,
  supplyParts,
  supplyPoints,
  supplyProbes,
  terminalsPart,
  toolLamp,
  wire,
} from "./pack-side.js";
import { jointPart, mode, ohms, volts } from "./parts-of.js";
import { packData } from "./tool-data.js";
import type { ToolData } from "./tool-data.js";

const PHASES = ["u", "v", "w"] as const;

/**
 * A cordless tool with a brushless motor: the trigger only signals, a controller switches three
 * phases in a star. Under power the controller and its motor are one load; the phases are measured
 * without power, where the controller is as good as open.
 */
export function cordlessBrushless(data: ToolData): ToolModel {
  const pack = packData(data);
  return {
    kind: "cordless-brushless",
    title: "Cordless tool, brushless motor",
    nominal_V: pack.nominal_V,
    parts: [...supplyParts(pack), terminalsPart(), ...toolParts(), drivePart("drive")],
    points: [...supplyPoints, ...toolPoints],
    elements: [...supplyElements(pack), ...toolElements()],
    manners: chargerManners(data),
    conditions: cordlessConditions,
    sightings: [
      ...driveSightings("motor", "pack-out").map(onTwoPhases),
      ...packSightings("motor").map(onTwoPhases),
      gearsByHand,
    ],
    probes,
  };
}

const POWERED = { pack: ["in", "known-good"], trigger: ["squeezed", "worked"] } as const;
/** The controller does not start the motor. */
const SILENT: Effect = { element: "drive", ohm: "open" };

function toolElements(): Element[] {
  return [
    wire("supply-wire-plus", "terminal-plus", "controller-plus"),
    wire("supply-wire-minus", "terminal-minus", "controller-minus"),
    toolLamp("controller-plus", "controller-minus"),
    {
      kind: "resistor",
      id: "bridge",
      a: "controller-plus",
      b: "controller-minus",
      ohm: about(1e5, 3),
    },
    {
      kind: "motor",
      id: "drive",
      a: "controller-plus",
      b: "controller-minus",
      ohm: about(0.15, 1.5),
      noLoad_A: about(1.5, 1.5),
      when: POWERED,
    },
    {
      kind: "resistor",
      id: "trigger",
      a: "trigger-a",
      b: "trigger-b",
      ohm: about(0.5, 3),
      when: { trigger: ["squeezed", "worked"] },
    },
    ...PHASES.flatMap((x): Element[] => [
      wire(`lead-${x}`, `phase-${x}`, `motor-${x}`),
      { kind: "resistor", id: `winding-${x}`, a: `motor-${x}`, b: "star", ohm: about(0.06, 1.5) },
    ]),
  ];
}

function toolParts(): Part[] {
  const leads = PHASES.map((x) => `lead-${x}`);
  const windings = PHASES.map((x) => `winding-${x}`);
  return [
    {
      ...jointPart({
        id: "trigger",
        label: "Trigger",
        access: "open",
        elements: ["trigger"],
        openOdds: 0.03,
        highOdds: 0.012,
        high: [2000, 1e6],
        then: [SILENT],
      }),
    },
    {
      id: "controller",
      label: "Controller",
      access: "open",
      modes: [
        mode("dead", "dead: does not start the motor", 0.04, [[SILENT]]),
        mode("short", "shorted: its power stage has burnt through", 0.02, [
          [{ element: "bridge", ohm: [0.005, 3] }, SILENT],
        ]),
      ],
    },
    jointPart({
      id: "phase-leads",
      label: "Phase leads",
      access: "open",
      elements: leads,
      openOdds: 0.012,
      highOdds: 0.006,
    }),
    {
      id: "motor",
      label: "Motor windings",
      access: "motor-out",
      modes: [
        mode("open", "open: one phase burnt through", 0.01, [
          ...windings.map((element): Effect[] => [{ element, ohm: "open" }]),
        ]),
        mode("short", "shorted: draws many times its current", 0.008, [
          ...windings.map((element): Effect[] => [
            { element, ohm: [0.003, 0.02] },
            { element: "drive", noLoad_A: [6, 40] },
          ]),
        ]),
        mode("jam", "seized: its shaft does not turn", 0.005, [
          [{ element: "drive", stalled: true }],
        ]),
      ],
    },
  ];
}

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
  point("trigger-a", "Trigger contact a", "trigger", "open"),
  point("trigger-b", "Trigger contact b", "trigger", "open"),
  ...PHASES.map((x) =>
    point(`phase-${x}`, `Phase ${x.toUpperCase()} at the controller`, "controller", "open"),
  ),
  ...PHASES.map((x) =>
    point(`motor-${x}`, `Phase ${x.toUpperCase()} at the motor`, "phase-leads", "motor-out"),
  ),
];

const probes: readonly Probe[] = [
  ...supplyProbes,
  volts("controller-plus", "controller-minus", "lamp-on-tool"),
  volts("controller-plus", "controller-minus", "squeezed"),
  volts("controller-plus", "controller-minus", "known-pack-squeezed"),
  ohms("terminal-plus", "controller-plus"),
  ohms("terminal-minus", "controller-minus"),
  ohms("controller-plus", "controller-minus"),
  ohms("trigger-a", "trigger-b", "pack-out-squeezed"),
  ohms("phase-u", "phase-v"),
  ohms("phase-v", "phase-w"),
  ohms("phase-w", "phase-u"),
  ohms("motor-u", "motor-v"),
  ohms("motor-v", "motor-w"),
  ohms("motor-w", "motor-u"),
];
