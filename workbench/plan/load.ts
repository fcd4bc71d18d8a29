import type { z } from "zod";
import { LeadhandError } from "../../protocols/error.js";
import { wrongNames } from "./names.js";
import type { Problem } from "./names.js";
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
  const { plan, problems } = readPlan(value);
  if (plan !== null) return plan;
  throw asError(problems, fileName);
}

/** What keeps a value from being a plan; at least one where `plan` is null, else none. */
export interface ReadPlan {
  readonly plan: Plan | null;
  readonly problems: readonly Problem[];
}

/** Reads a plan and tells everything that is wrong with it, each at its place. Never throws. */
export function readPlan(value: unknown): ReadPlan {
  const other = otherVersion(value);
  if (other !== null) return { plan: null, problems: [other] };
  const parsed = planSchema.safeParse(value);
  if (!parsed.success) return { plan: null, problems: parsed.error.issues.map(shapeProblem) };
  const problems = wrongNames(parsed.data);
  return { plan: problems.length === 0 ? parsed.data : null, problems };
}

/** The value in a plan's JSON text; throws `plan/not-json`. */
export function parseJson(text: string, fileName: string): unknown {
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
function otherVersion(value: unknown): Problem | null {
  const head = typeof value === "object" && value !== null ? (value as Partial<Plan>) : null;
  if (head?.format !== "leadhand-plan" || head.version === 1) return null;
  return {
    code: "plan/version",
    path: "$.version",
    what: `it is of version ${JSON.stringify(head.version)}; this program reads version 1`,
    action: "Use a program that knows that version, or write the plan in version 1.",
  };
}

type Issue = z.core.$ZodIssue;

function shapeProblem(issue: Issue): Problem {
  return {
    code: "plan/shape",
    path: jsonPath(issue.path),
    what: expected(issue),
    action: "Correct it there; docs/plans.md describes every field.",
  };
}

function asError(problems: readonly Problem[], fileName: string): LeadhandError {
  const [first] = problems;
  const told = first?.code === "plan/shape" ? problems.slice(0, 3) : problems.slice(0, 1);
  const listed = told.map(({ path, what }) => `at ${path}: ${what}`).join("; ");
  const rest = problems.length - told.length;
  const more = rest > 0 ? `; and ${rest} more` : "";
  return new LeadhandError(first?.code ?? "plan/shape", {
    what: `The plan ${fileName} is wrong ${listed}${more}.`,
    action: first?.action ?? "Correct it.",
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
