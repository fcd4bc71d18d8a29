import type { z } from "zod";
import { nearest } from "./nearest.js";

type Issue = z.core.$ZodIssue;
/** Fields that are known at a place, by the last name of its path; "" at the top. */
type Fields = Readonly<Record<string, readonly string[]>>;

export interface Mistake {
  /** `readings[2].condition` */
  readonly place: string;
  readonly what: string;
}

/** The first thing that is wrong in a file, in words, with its place. */
export function firstMistake(issues: readonly Issue[], fields: Fields): Mistake {
  const [first] = issues;
  if (first === undefined) return { place: "the file", what: "not understood" };
  const issue = inside(first);
  const more = issues.length > 1 ? ` (and ${issues.length - 1} more)` : "";
  return { place: placeOf(issue.path) || "the file", what: `${explain(issue, fields)}${more}` };
}

/** Of several ways to write a thing, the mistake in the one that was meant: the way of most words. */
function inside(issue: Issue): Issue {
  if (issue.code !== "invalid_union") return issue;
  const nested = issue.errors
    .map(([one]) => one)
    .find((one) => one !== undefined && (one.path.length > 0 || one.code === "unrecognized_keys"));
  return nested === undefined ? issue : { ...nested, path: [...issue.path, ...nested.path] };
}

function explain(issue: Issue, fields: Fields): string {
  const name = issue.path.findLast((part) => typeof part === "string") ?? "";
  switch (issue.code) {
    case "unrecognized_keys": {
      const [key = ""] = issue.keys;
      const near = nearest(key, fields[name] ?? []);
      return `"${key}" is not known here${near === null ? "" : `; the nearest is "${near}"`}`;
    }
    case "invalid_union":
      return NUMBERS.includes(name)
        ? 'expected a number (with a point, not a comma), null or "OL"'
        : "not understood";
    case "invalid_value":
      return `expected one of ${issue.values.map((value) => `"${String(value)}"`).join(", ")}`;
    default:
      return issue.message;
  }
}

/** Fields that take a number or what a meter shows for over range. */
const NUMBERS = ["value", "samples"];

function placeOf(path: readonly PropertyKey[]): string {
  return path.reduce<string>(
    (text, part) =>
      typeof part === "number" ? `${text}[${part}]` : `${text}${text ? "." : ""}${String(part)}`,
    "",
  );
}
