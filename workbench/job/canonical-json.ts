import * as module from "canonicalize";

/**
 * The package is CommonJS whose export *is* the function, while its types promise a default
 */
const serialize = module.default as unknown as (value: unknown) => string | undefined;

/** JSON in the one form of RFC 8785 (members sorted, numbers as ECMAScript prints them). */
export function canonicalJson(value: unknown): string {
  const text = serialize(value);
  if (text === undefined) throw new TypeError("this value has no JSON");
  return text;
}
