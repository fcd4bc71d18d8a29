import { modelOf } from "../../models/kinds.js";
import { KNOWN_SOURCE } from "../../contract/plan-choices.js";
import type { Plan } from "../schema.js";
import type { Finding } from "./finding.js";

/** Points that the power path of this kind of tool does not have, and a meter that is never proved. */
export function path(plan: Plan): Finding[] {
  return [...offPath(plan), ...notProved(plan)];
}

function offPath(plan: Plan): Finding[] {
  const model = modelOf(plan.tool.kind);
  if (!model) {
    const what = `no power path is known for the kind of tool "${plan.tool.kind}"`;
    const action = "The plan runs; which part is at fault is not reasoned out.";
    return [{ level: "warning", code: "no-path", path: "$.tool.kind", step: null, what, action }];
  }
  return plan.points.flatMap(({ id, part }, at): Finding[] => {
    const known = part === KNOWN_SOURCE || model.points.some((point) => point.id === id);
    if (known) return [];
    const what = `the point "${id}" is not on the power path of "${plan.tool.kind}"`;
    // A further point of a part that is on the path (a tap, a signal) may be measured and judged.
    const isOfPath = [...model.parts, ...model.elements].some((each) => each.id === part);
    if (isOfPath) {
      const action = "The plan runs; the reasoning about parts does not use this point.";
      return [
        {
          level: "warning",
          code: "off-path",
          path: `$.points[${at}].id`,
          step: null,
          what,
          action,
        },
      ];
    }
    const action = `Use one of ${model.points.map((point) => point.id).join(", ")}.`;
    const where = `$.points[${at}].id`;
    return [{ level: "error", code: "off-path", path: where, step: null, what, action }];
  });
}

/** A dead reading means nothing from a meter that was not seen to read a live one first. */
function notProved(plan: Plan): Finding[] {
  const source = plan.points.filter(({ part }) => part === KNOWN_SOURCE).map(({ id }) => id);
  const at = plan.steps.findIndex(({ kind }) => kind === "measure");
  const first = plan.steps[at];
  if (first?.kind !== "measure") return [];
  if (source.includes(first.red) && source.includes(first.black)) return [];
  const what = `the first measurement, "${first.id}", is not on a known source`;
  const action = `Begin with voltage on two points of the part "${KNOWN_SOURCE}".`;
  return [
    {
      level: "warning",
      code: "meter-not-proved",
      path: `$.steps[${at}]`,
      step: first.id,
      what,
      action,
    },
  ];
}
