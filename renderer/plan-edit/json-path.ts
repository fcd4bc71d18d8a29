/** A plan while it is edited: any JSON, because half-typed plans are not plans yet. */
export type Json = string | number | boolean | null | readonly Json[] | JsonObject;
export interface JsonObject {
  readonly [name: string]: Json | undefined;
}
export type Path = readonly (string | number)[];

export function isObject(value: Json | undefined): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** What stands at a path; undefined where nothing does. */
export function getAt(value: Json | undefined, path: Path): Json | undefined {
  return path.reduce<Json | undefined>((at, part) => {
    if (typeof part === "number")
      return Array.isArray(at) ? (at as readonly Json[])[part] : undefined;
    return isObject(at) && Object.hasOwn(at, part) ? at[part] : undefined;
  }, value);
}

/**
 * The same plan with another value at a path; undefined takes the field away. Objects that are not
 * there are made; everything beside the path stays as it is, in its order.
 */
export function setAt(
  value: Json | undefined,
  path: Path,
  next: Json | undefined,
): Json | undefined {
  const [part, ...rest] = path;
  if (part === undefined) return next;
  if (typeof part === "number") {
    const list = Array.isArray(value) ? [...(value as readonly Json[])] : [];
    const changed = setAt(list[part], rest, next);
    if (changed === undefined) list.splice(part, 1);
    else list[part] = changed;
    return list;
  }
  const before = isObject(value) ? value : {};
  const changed = setAt(before[part], rest, next);
  const entries = Object.entries({ ...before, [part]: changed });
  return Object.fromEntries(entries.filter(([, each]) => each !== undefined));
}

/** `$.steps[3].limits.low` (RFC 9535 notation), as the checker names places. */
export function pathText(path: Path): string {
  const parts = path.map((part) =>
    typeof part === "number"
      ? `[${part}]`
      : /^[A-Za-z_]\w*$/.test(part)
        ? `.${part}`
        : `[${JSON.stringify(part)}]`,
  );
  return `$${parts.join("")}`;
}

/** A list at a path; what is no list counts as an empty one. */
export function listAt(value: Json | undefined, path: Path): readonly Json[] {
  const at = getAt(value, path);
  return Array.isArray(at) ? (at as readonly Json[]) : [];
}

export function textAt(value: Json | undefined, path: Path): string {
  const at = getAt(value, path);
  return typeof at === "string" ? at : typeof at === "number" ? String(at) : "";
}
