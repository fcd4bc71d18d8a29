import { PHASES } from "./brushless-sightings.js";
import { about } from "./model.js";
import type { Effect, Element, Part } from "./model.js";
import { toolLamp, wire } from "./pack-side.js";
import { jointPart, mode } from "./parts-of.js";

/** From the tool's terminals to the star of the windings: what is connected, and how it fails. */
const FED = { pack: ["in", "known-good"] } as const;
const POWERED = { pack: ["in", "known-good"], trigger: ["squeezed", "worked"] } as const;
/** The controller does not know where the rotor is: it gives nothing, or jerks. */
const SENSORLESS: Effect = { element: "drive", ohm: "open" };
/** It stutters, or tries and gives up: what it draws meanwhile is anybody's guess. */
const LABOURS: Effect = { element: "drive", noLoad_A: [0.5, 12] };
/** The controller does not start the motor. */
const SILENT: Effect = { element: "drive", ohm: "open" };

export function brushlessElements(): Element[] {
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
      trip_A: 15,
      when: POWERED,
    },
    ...logicElements(),
    ...PHASES.flatMap((x): Element[] => [
      transistor(`high-${x}`, "controller-plus", `bridge-${x}`),
      transistor(`low-${x}`, `bridge-${x}`, "controller-minus"),
      wire(`joint-${x}`, `bridge-${x}`, `phase-${x}`, FED),
    ]),
    {
      kind: "resistor",
      id: "insulation",
      a: "motor-u",
      b: "motor-body",
      ohm: about(2e9, 3),
    },
    ...PHASES.flatMap((x): Element[] => [
      wire(`lead-${x}`, `phase-${x}`, `motor-${x}`),
      { kind: "resistor", id: `winding-${x}`, a: `motor-${x}`, b: "star", ohm: about(0.06, 1.5) },
    ]),
  ];
}

/** The logic supply, regulated from the pack: as a divider, since only whether it is there tells. */
function logicElements(): Element[] {
  return [
    {
      kind: "resistor",
      id: "logic-feed",
      a: "controller-plus",
      b: "trigger-supply",
      ohm: about(16e3, 1.5),
      when: FED,
    },
    {
      kind: "resistor",
      id: "logic-load",
      a: "trigger-supply",
      b: "controller-minus",
      ohm: about(5e3, 1.1),
      when: FED,
    },
    {
      kind: "resistor",
      id: "trigger",
      a: "trigger-supply",
      b: "trigger-signal",
      ohm: about(100, 3),
      when: { trigger: ["squeezed", "worked"] },
    },
    {
      kind: "resistor",
      id: "trigger-pull",
      a: "trigger-signal",
      b: "controller-minus",
      ohm: about(1e4, 1.3),
      when: FED,
    },
  ];
}

/** One transistor of the bridge, not switched on, as an ohmmeter sees it. */
function transistor(id: string, a: string, b: string): Element {
  return { kind: "resistor", id, a, b, ohm: about(5e5, 3) };
}

const ofBridge = (make: (id: string) => Effect[]): Effect[][] =>
  PHASES.flatMap((x) => [make(`high-${x}`), make(`low-${x}`)]);

export function brushlessParts(): Part[] {
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
    controllerPart(),
    {
      id: "position-sensors",
      label: "Rotor position sensors",
      access: "motor-out",
      modes: [mode("dead", "dead, or their cable has lost contact", 0.01, [[SENSORLESS]])],
    },
    jointPart({
      id: "phase-leads",
      label: "Phase leads",
      access: "open",
      elements: PHASES.flatMap((x) => [`lead-${x}`, `joint-${x}`]),
      openOdds: 0.012,
      highOdds: 0.006,
      high: [0.4, 100],
      then: [LABOURS],
    }),
    motorPart(),
  ];
}

function controllerPart(): Part {
  return {
    id: "controller",
    label: "Controller",
    access: "open",
    modes: [
      mode("dead", "dead: does not start the motor", 0.04, [
        [SILENT],
        [SILENT, { element: "logic-feed", ohm: "open" }],
      ]),
      mode("short", "shorted: its power stage has burnt through", 0.02, [
        [{ element: "bridge", ohm: [0.005, 3] }, SILENT],
        ...ofBridge((element) => [{ element, ohm: "short" }, SILENT]),
      ]),
      mode("open", "lame: one of its half bridges does not switch", 0.012, [
        ...ofBridge((element) => [{ element, ohm: "open" }, LABOURS]),
      ]),
    ],
  };
}

function motorPart(): Part {
  const windings = PHASES.map((x) => `winding-${x}`);
  return {
    id: "motor",
    label: "Motor windings",
    access: "motor-out",
    modes: [
      mode("open", "open: one phase burnt through", 0.01, [
        ...windings.map((element): Effect[] => [{ element, ohm: "open" }, LABOURS]),
      ]),
      mode("short", "shorted: draws many times its current", 0.008, [
        ...windings.map((element): Effect[] => [
          { element, ohm: [0.003, 0.02] },
          { element: "drive", noLoad_A: [6, 40] },
        ]),
      ]),
      mode("earthed", "earthed: a winding touches the iron", 0.004, [
        [{ element: "insulation", ohm: [1e3, 1e6] }],
      ]),
      mode("jam", "seized: its shaft does not turn", 0.005, [
        [{ element: "drive", stalled: true }],
      ]),
    ],
  };
}
