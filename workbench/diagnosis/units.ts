const PREFIX: Readonly<Record<string, number>> = { "": 1, m: 1e-3, k: 1e3, K: 1e3, M: 1e6 };

/** A unit as people write it: V, mV, Ω, ohm, kΩ, kohm, MΩ. null where it is neither. */
export function parseUnit(
  text: string,
): { quantity: "voltage" | "resistance"; factor: number } | null {
  const match = /^\s*([mkKM]?)\s*(v(?:olts?)?(?:\s*dc)?|\u2126|\u03a9|ohms?|r)\s*$/iu.exec(text);
  if (match === null) return null;
  const factor = PREFIX[match[1] ?? ""];
  if (factor === undefined) return null;
  const volts = /^v/i.test(match[2] ?? "");
  return { quantity: volts ? "voltage" : "resistance", factor };
}
