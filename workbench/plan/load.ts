import type { z } from "zod";
import { LeadhandError } from "../../protocols/error.js";
import { checkNames } from "./names.js";
import { planSchema } from "./schema.js";
import type { Plan } from "./schema.js";

/**
 * Reads a plan from its JSON text. Errors name the file, the JSON path and what is expected:
 * `plan/not-json`, `plan/version`, `plan/shape`, `plan/name`, `plan/formula`.
 */
export function loadPlan(text: string, fileName: string): Plan {
  return parsePlan(parseJson(text, fileName), fileName);
}

/** The same for a value that is parsed already. */
export function parsePlan(value: unknown, fileName: string): Plan {
  refuseOtherFormat(value, fileName);
  const parsed = planSchema.safeParse(value);
  if (!parsed.success) throw shapeError(parsed.error.issues, fileName);
  checkNames(parsed.data, fileName);
  return parsed.data;
}

function parseJson(text: string, fileName: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, "")) as unknown;
  } catch (thrown) {
    throw new LeadhandError("plan/not-json", {
      what: `The plan ${fileName} is not JSON: ${(thrown as Error).message}.`,
      action: "Correct the text at that place; a plan is one JSON object.",
      cause: thrown,
    });
  }
}

/** Said before anything else, because every other message would mislead. */
function refuseOtherFormat(value: unknown, fileName: string): void {
  const head = typeof value === "object" && value !== null ? (value as Partial<Plan>) : null;
  if (head?.format !== "leadhand-plan") return;
  if (head.version === 1) return;
  throw new LeadhandError("plan/version", {
    what: `The plan ${fileName} is of version ${JSON.stringify(head.version)} at $.version; this program reads version 1.`,
    action: "Use a program that knows that version, or write the plan in version 1.",
  });
}

type Issue = z.core.$ZodIssue;

function shapeError(issues: readonly Issue[], fileName: string): LeadhandError {
  const listed = issues
    .slice(0, 3)
    .map((issue) => `at ${jsonPath(issue.path)}: ${expected(issue)}`);
  const more = issues.length > 3 ? `; and ${issues.length - 3} more` : "";
  return new LeadhandError("plan/shape", {
    what: `The plan ${fileName} is wrong ${listed.join("; ")}${more}.`,
    action: "Correct it there; docs/plans.md describes every field.",
  });
}

/** `$.steps[3].limits.low` (RFC 9535 notation). */
function jsonPath(path: readonly PropertyKey[]): string {
  const parts = path.map((part) =>
    typeof part === "number"
      ? `[${part}]`
      : /^[A-Za-z_]\w*$/.test(String(part))
        ? `.${String(part)}`
        : `[${JSON.stringify(String(part))}]`,
  );
  return `$${parts.join("")}`;
}

function expected(issue: Issue): string {
  switch (issue.code) {
    case "invalid_type":
      return `${issue.expected} is expected`;
    case "invalid_value":
      return `one of ${issue.values.map((value) => JSON.stringify(value)).join(", ")} is expected`;
    case "unrecognized_keys":
      return `${issue.keys.join(", ")} is not a field here`;
    case "invalid_union":
      return "discriminator" in issue
        ? "a kind that the format knows is expected"
        : "a number or a formula in quotes is expected";
    default:
      return issue.message;
  }
}
