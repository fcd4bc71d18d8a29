import { getAt, isObject, listAt, setAt, textAt } from "./json-path.js";
import type { Json, JsonObject, Path } from "./json-path.js";

/** The text as JSON; null while it is none that a form could show. */
export function readText(text: string): JsonObject | null {
  try {
    const value = JSON.parse(text) as Json;
    return isObject(value) ? value : null;
  } catch {
    return null;
  }
}

export function writeText(plan: Json | undefined): string {
  return `${JSON.stringify(plan, null, 2)}\n`;
}

/** A limit as it is typed: a number where it is one, else a formula; empty: none. */
export function limitOf(typed: string): Json | undefined {
  const words = typed.trim();
  if (words === "") return undefined;
  return Number.isNaN(Number(words)) ? typed : Number(words);
}

const WATCHES: Readonly<Record<string, JsonObject>> = {
  settle: { kind: "settle", window_s: 1, counts: 3 },
  sag: { kind: "sag", edge: 0.02, hold_s: 1.5 },
  change: { kind: "change", window_s: 0.5, times: 1 },
  sweep: { kind: "sweep", duration_s: 6 },
};

export function watchOf(kind: string): JsonObject {
  return WATCHES[kind] ?? {};
}

const KEPT = ["id", "title", "instruction", "cautions", "needs"];

/** A new step, or one of another kind: what every step has is kept, the rest begins anew. */
export function stepOf(kind: string, plan: Json | undefined, before: JsonObject): JsonObject {
  const kept = Object.fromEntries(KEPT.map((name) => [name, before[name]]));
  return { kind, ...kept, ...begin(kind, plan) };
}

function begin(kind: string, plan: Json | undefined): JsonObject {
  const points = listAt(plan, ["points"]);
  switch (kind) {
    case "measure":
      return {
        quantity: "voltage",
        coupling: "dc",
        red: textAt(points[0], ["id"]),
        black: textAt(points[1], ["id"]),
        condition: {},
        watch: watchOf("settle"),
        means: { pass: "", fail: "" },
      };
    case "do":
      return { sets: {} };
    case "look":
      return {
        choices: [
          { id: "good", label: "as it should be", verdict: "pass" },
          { id: "bad", label: "not as it should be", verdict: "fail" },
        ],
      };
    default:
      return { duration_s: 10 };
  }
}

/** An id that no step has yet. */
export function freeId(plan: Json | undefined, wanted: string): string {
  const taken = new Set(listAt(plan, ["steps"]).map((step) => textAt(step, ["id"])));
  for (let n = 1; ; n += 1) {
    const id = n === 1 ? wanted : `${wanted}-${n}`;
    if (!taken.has(id)) return id;
  }
}

export function addStep(plan: Json | undefined, after: number, kind: string): Json | undefined {
  const id = freeId(plan, `new-${kind}`);
  const bare = {
    id,
    title: "New step",
    instruction: "Say here what to do.",
    cautions: [],
    needs: [],
  };
  return insertStep(plan, after + 1, stepOf(kind, plan, bare));
}

export function copyStep(plan: Json | undefined, at: number): Json | undefined {
  const step = getAt(plan, ["steps", at]);
  if (!isObject(step)) return plan;
  return insertStep(plan, at + 1, { ...step, id: freeId(plan, textAt(step, ["id"])) });
}

function insertStep(plan: Json | undefined, at: number, step: JsonObject): Json | undefined {
  return setAt(plan, ["steps"], listAt(plan, ["steps"]).toSpliced(at, 0, step));
}

export function moveStep(plan: Json | undefined, from: number, to: number): Json | undefined {
  const steps = listAt(plan, ["steps"]);
  const step = steps[from];
  if (step === undefined || to < 0 || to >= steps.length) return plan;
  return setAt(plan, ["steps"], steps.toSpliced(from, 1).toSpliced(to, 0, step));
}

/** A step under another name: whoever needs it, puts its things back or uses its result follows. */
export function renameStep(plan: Json | undefined, at: number, id: string): Json | undefined {
  const old = textAt(plan, ["steps", at, "id"]);
  const steps = listAt(plan, ["steps"]).map((step) => follow(step, old, id));
  return setAt(setAt(plan, ["steps"], steps), ["steps", at, "id"], id);
}

function follow(step: Json, old: string, id: string): Json {
  if (old === "") return step;
  const renamed = (given: Json): Json => (given === old ? id : given);
  let next: Json | undefined = step;
  listAt(step, ["needs"]).forEach((need, at) => {
    if (textAt(need, ["step"]) === old) next = setAt(next, ["needs", at, "step"], id);
  });
  if (getAt(step, ["putsBack"]) !== undefined)
    next = setAt(next, ["putsBack"], listAt(step, ["putsBack"]).map(renamed));
  for (const side of ["low", "high"]) {
    const path: Path = ["limits", side];
    const limit = getAt(step, path);
    if (typeof limit === "string")
      next = setAt(next, path, limit.replaceAll(`result("${old}"`, `result("${id}"`));
  }
  return next ?? step;
}
