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
  const ofPath = new Set([...model.parts, ...model.elements].map((each) => each.id));
  return plan.points.flatMap(({ id, part, aside }, at): Finding[] => {
    const known = part === KNOWN_SOURCE || model.points.some((point) => point.id === id);
    // A further point of a part that is on the path, and the plan says that it is one.
    if (known || (aside === true && ofPath.has(part))) return [];
    const what = `the point "${id}" is not on the power path of "${plan.tool.kind}"`;
    const action = ofPath.has(part)
      ? `If it is a further point of the part "${part}", say "aside": true; it is then judged, not reasoned with.`
      : `Use one of ${model.points.map((point) => point.id).join(", ")}.`;
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
