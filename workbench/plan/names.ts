import { editDistance } from "../../protocols/text/edit-distance.js";
import { LeadhandError } from "../../protocols/error.js";
import { parseFormula } from "./formula.js";
import type { MeasureStep, Plan, Step } from "./schema.js";

/** What keeps a value from being a plan, at its place. */
export interface Problem {
  readonly code: "plan/version" | "plan/shape" | "plan/name" | "plan/formula";
  /** JSON path, such as $.steps[3].limits.low. */
  readonly path: string;
  readonly what: string;
  readonly action: string;
}

/** Names that lead nowhere: points, steps, tool data; and ids that are given twice. */
export function wrongNames(plan: Plan): Problem[] {
  return [...repeatedIds(plan), ...plan.steps.flatMap((step, at) => lost(plan, step, at))];
}

const wrongName = (path: string, what: string, action: string): Problem => ({
  code: "plan/name",
  path,
  what,
  action,
});

function repeatedIds(plan: Plan): Problem[] {
  const lists = { points: plan.points, steps: plan.steps };
  return Object.entries(lists).flatMap(([field, items]) =>
    items.flatMap(({ id }, at) =>
      items.findIndex((other) => other.id === id) === at
        ? []
        : [wrongName(`$.${field}[${at}].id`, `"${id}" is given twice`, "Give each its own id.")],
    ),
  );
}

function lost(plan: Plan, step: Step, at: number): Problem[] {
  const path = `$.steps[${at}]`;
  const found = step.needs.flatMap((need, index) =>
    notEarlier(plan, need.step, at, `${path}.needs[${index}].step`),
  );
  if (step.kind === "do") return [...found, ...lostInClosing(plan, step.putsBack ?? [], at, path)];
  return step.kind === "measure" ? [...found, ...lostInMeasure(plan, step, at, path)] : found;
}

function lostInClosing(plan: Plan, ids: readonly string[], at: number, path: string): Problem[] {
  return ids.flatMap((id, index) => {
    const where = `${path}.putsBack[${index}]`;
    const wrong = notEarlier(plan, id, at, where);
    const other = plan.steps.find((step) => step.id === id);
    if (wrong.length > 0 || (other?.kind === "do" && other.removes)) return wrong;
    return [wrongName(where, `"${id}" takes nothing off`, "Name a do step with removes.")];
  });
}

function lostInMeasure(plan: Plan, step: MeasureStep, at: number, path: string): Problem[] {
  const points = (["red", "black"] as const).flatMap((probe) =>
    plan.points.some(({ id }) => id === step[probe])
      ? []
      : [
          wrongName(
            `${path}.${probe}`,
            `"${step[probe]}" is not a point of this plan`,
            suggestion(
              step[probe],
              plan.points.map(({ id }) => id),
            ),
          ),
        ],
  );
  const limits = (["low", "high"] as const).flatMap((side) => {
    const limit = step.limits?.[side];
    return typeof limit === "string"
      ? lostInFormula(plan, limit, at, `${path}.limits.${side}`)
      : [];
  });
  return [...points, ...limits];
}

function lostInFormula(plan: Plan, text: string, at: number, path: string): Problem[] {
  try {
    const { names, results } = parseFormula(text);
    const known = Object.keys(plan.tool.data);
    const data = names
      .filter((name) => !known.includes(name))
      .map((name) =>
        wrongName(path, `"${name}" is not among the tool's data`, suggestion(name, known)),
      );
    return [...data, ...results.flatMap(({ step }) => notEarlier(plan, step, at, path))];
  } catch (thrown) {
    if (!(thrown instanceof LeadhandError)) throw thrown;
    return [
      { code: "plan/formula", path, what: thrown.what.replace(/\.$/, ""), action: thrown.action },
    ];
  }
}

function notEarlier(plan: Plan, id: string, at: number, path: string): Problem[] {
  const place = plan.steps.findIndex((step) => step.id === id);
  const earlier = plan.steps.slice(0, at).map((step) => step.id);
  if (place === -1) return [wrongName(path, `there is no step "${id}"`, suggestion(id, earlier))];
  if (place < at) return [];
  return [wrongName(path, `"${id}" comes later than the step that uses it`, "Put it earlier.")];
}

function suggestion(name: string, known: readonly string[]): string {
  const near = nearest(name, known);
  return near === null ? "Define it, or correct the name." : `Did you mean "${near}"?`;
}

/** The known name with the least edit distance, if at most a third of it differs. */
function nearest(name: string, known: readonly string[]): string | null {
  const ranked = known
    .map((candidate) => ({ candidate, distance: editDistance(name, candidate) }))
    .sort((a, b) => a.distance - b.distance);
  const [best] = ranked;
  return best && best.distance <= Math.max(2, name.length / 3) ? best.candidate : null;
}
