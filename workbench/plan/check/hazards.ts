import type { CautionKind, MeasureStep, Plan, Step } from "../schema.js";
import type { Finding } from "./finding.js";
import { possibleFeeds, statesBefore, unsetFields } from "./possible-state.js";
import type { PossibleState } from "./possible-state.js";

/** What could hurt somebody, the meter or the tool. */
export function hazards(plan: Plan): Finding[] {
  const states = statesBefore(plan);
  return plan.steps.flatMap((step, at) => {
    const state = states[at];
    if (!state) return [];
    const site = { plan, step, path: `$.steps[${at}]`, state };
    return [
      ...cautionsMissing(site),
      ...feedThroughSwitch(site),
      ...(step.kind === "measure" ? measuring(site, step) : []),
    ];
  });
}

interface Site {
  readonly plan: Plan;
  readonly step: Step;
  readonly path: string;
  readonly state: PossibleState;
}

function error(
  { step }: Site,
  code: Finding["code"],
  path: string,
  what: string,
  action: string,
): Finding {
  return { level: "error", code, path, step: step.id, what, action };
}

function measuring(site: Site, step: MeasureStep): Finding[] {
  return [
    ...conditionNotSet(site),
    ...poweredOhms(site, step),
    ...acrossSource(site, step),
    ...ammeterAcross(site, step),
  ];
}

function conditionNotSet(site: Site): Finding[] {
  const { step, path, state } = site;
  return unsetFields(step, state).map((field) => {
    const wanted = step.kind === "measure" ? step.condition[field] : "";
    const may = [...state[field]].join(" or ");
    const what = `"${step.id}" wants ${field} ${wanted}, and the steps before leave it ${may}`;
    const action = `Put a do step before it that sets ${field} to ${wanted}.`;
    return error(site, "condition-not-set", `${path}.condition.${field}`, what, action);
  });
}

/** Functions in which the meter feeds its own current into what it measures. */
const OHMS: readonly MeasureStep["quantity"][] = [
  "resistance",
  "continuity",
  "diode",
  "capacitance",
];

function isOhms(step: Step): step is MeasureStep {
  return step.kind === "measure" && OHMS.includes(step.quantity);
}

function poweredOhms(site: Site, step: MeasureStep): Finding[] {
  if (!isOhms(step)) return [];
  const { condition } = step;
  const asked = possibleFeeds({
    ...site.state,
    pack: new Set([condition.pack]),
    charger: new Set([condition.charger]),
    mains: new Set([condition.mains]),
  });
  const feeds = new Set([...possibleFeeds(site.state), ...asked]);
  return [...feeds].map((feed) =>
    error(
      site,
      "powered-ohms",
      `${site.path}.condition`,
      `"${step.id}" measures ${step.quantity} while ${feed}`,
      "Take the power away in a do step before it: pack out, charger and mains unplugged.",
    ),
  );
}

function acrossSource(site: Site, step: MeasureStep): Finding[] {
  const poles = site.plan.points.filter(({ source }) => source).map(({ id }) => id);
  const both = poles.includes(step.red) && poles.includes(step.black);
  if (!isOhms(step) || !both || step.red === step.black) return [];
  return [
    error(
      site,
      "ohms-across-source",
      site.path,
      `"${step.id}" measures ${step.quantity} across a source (${step.red}, ${step.black})`,
      "Measure voltage there; a source has no ohms to a meter.",
    ),
  ];
}

/** An ammeter is a short circuit: it goes into a line, never across a part. */
function ammeterAcross(site: Site, step: MeasureStep): Finding[] {
  if (step.quantity !== "current") return [];
  const partOf = (id: string) => site.plan.points.find((point) => point.id === id);
  const [red, black] = [partOf(step.red), partOf(step.black)];
  const across = red?.part === black?.part || (red?.source === true && black?.source === true);
  if (!across) return [];
  return [
    error(
      site,
      "ammeter-across",
      site.path,
      `"${step.id}" puts the ammeter across ${red?.part ?? "one part"}: a short circuit`,
      "Measure current in an opened line, between points of two parts, or with a clamp.",
    ),
  ];
}

/**
 * A supply on a motor that still hangs on its switch feeds backwards: a brake contact shorts it, and
 * an electronic trigger is destroyed.
 */
function feedThroughSwitch(site: Site): Finding[] {
  const { step, path, state } = site;
  if (step.kind === "look" || step.kind === "wait") return [];
  const now = step.kind === "measure" ? step.condition : step.sets;
  const fed = now.pack === undefined ? state.pack.has("at-motor") : now.pack === "at-motor";
  const joined = now.motor === undefined ? state.motor.has("connected") : now.motor === "connected";
  if (!fed || !joined) return [];
  const where = `${path}.${step.kind === "measure" ? "condition" : "sets"}`;
  const what = `"${step.id}" feeds the motor while it may still be connected to its switch`;
  const action = "Put a do step before it that sets motor to disconnected.";
  return [error(site, "feed-through-switch", where, what, action)];
}

function cautionsMissing(site: Site): Finding[] {
  const { step, path } = site;
  return cautionsNeeded(site)
    .filter(({ kind }) => !step.cautions.includes(kind))
    .map(({ kind, because }) =>
      error(
        site,
        "caution-missing",
        `${path}.cautions`,
        `"${step.id}" does not show the caution ${kind}, although ${because}`,
        `Add "${kind}" to its cautions.`,
      ),
    );
}

interface Needed {
  readonly kind: CautionKind;
  readonly because: string;
}

function cautionsNeeded({ plan, step, state }: Site): Needed[] {
  const now = step.kind === "measure" ? step.condition : step.kind === "do" ? step.sets : {};
  const mains = now.mains === "plugged" || state.mains.has("plugged") || now.charger === "plugged";
  const fed = (now.pack ?? "out") === "in" || state.pack.has("in") || now.mains === "plugged";
  const direct = now.pack === undefined ? state.pack.has("at-motor") : now.pack === "at-motor";
  const needed: (Needed | null)[] = [
    step.kind !== "wait" && step.kind !== "look" && mains
      ? { kind: "mains", because: "mains is plugged in" }
      : null,
    step.kind === "measure" && fed && step.condition.trigger !== "released"
      ? { kind: "moving-tool", because: "the trigger is worked with power on the tool" }
      : null,
    step.kind === "do" && step.sets.pack === "in"
      ? { kind: "moving-tool", because: "the tool gets its pack" }
      : null,
    direct && step.kind !== "look" && step.kind !== "wait"
      ? { kind: "moving-tool", because: "the motor is fed directly" }
      : null,
    step.kind === "measure" && onPack(plan, step)
      ? { kind: "pack", because: "the probes are on the poles of a pack" }
      : null,
    isOhms(step)
      ? { kind: "power-off-for-ohms", because: "the meter feeds its own current" }
      : null,
  ];
  return needed.filter((each) => each !== null);
}

function onPack(plan: Plan, step: MeasureStep): boolean {
  return plan.points.some(
    ({ id, part, source }) => source && part === "pack" && (id === step.red || id === step.black),
  );
}
