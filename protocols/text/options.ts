import { LeadhandError } from "../error.js";
import type { ProtocolOptions } from "../protocol.js";

/** The value of an option among those allowed; throws `usage/protocol-option`. */
export function choice<const T extends string>(
  options: ProtocolOptions,
  name: string,
  allowed: readonly T[],
  fallback: NoInfer<T>,
): T {
  const given = options[name];
  if (given === undefined) return fallback;
  const found = allowed.find((value) => value === given);
  if (found === undefined) throw badOption(name, given, allowed.join(", "));
  return found;
}

/** A number of at least `least`; throws `usage/protocol-option`. */
export function numeric(
  options: ProtocolOptions,
  name: string,
  least: number,
  fallback: number,
): number {
  const given = options[name];
  if (given === undefined) return fallback;
  const value = Number(given);
  if (given.trim() === "" || !Number.isFinite(value) || value < least) {
    throw badOption(name, given, `a number of at least ${least}`);
  }
  return value;
}

export function badOption(name: string, given: string, allowed: string): LeadhandError {
  return new LeadhandError("usage/protocol-option", {
    what: `The option ${name}=${given} is not one that this protocol knows.`,
    action: `Give ${name} as ${allowed}.`,
  });
}
