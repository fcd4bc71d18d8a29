import type { ToolModel } from "../models/model.js";
import { PRICE_COLUMNS } from "./price-list.js";

/** Assemblies that are sold as one, by kind of motor: what is left out is sold alone only. */
const ASSEMBLIES: readonly (readonly string[])[] = [
  ["motor", "brushes"],
  ["armature", "brushes"],
  ["switch", "lead-red", "lead-black"],
  ["controller", "trigger", "phase-leads"],
  ["fuse", "converter"],
];

/** Sold only within an assembly: the end tabs of such a motor are bent over, nobody opens it. */
const NEVER_ALONE = new Set(["motor", "armature"]);
/** ISO 4217: reserved for tests. */
const CURRENCY = "XTS";

/**
 * A price list to try the parts page with. Everything in it is invented, and looks it: the numbers
 * begin with DEMO, the prices are repeated digits, the currency is the one kept for tests.
 */
export function demoPrices({ parts }: ToolModel): string {
  const known = new Set(parts.map(({ id }) => id));
  const assemblies = ASSEMBLIES.filter((covers) => covers.every((id) => known.has(id)));
  const inAssembly = new Set(assemblies.flat());
  const alone = parts.filter(({ id }) => !(NEVER_ALONE.has(id) && inAssembly.has(id)));
  const rows = [
    ...alone.map(({ id, label }) => ({ label, covers: [id] })),
    ...assemblies.map((covers) => ({ label: labelsOf(parts, covers), covers })),
  ];
  const lines = rows.map(({ label, covers }, i) => {
    const price = (1.11 * (i + 1) * covers.length).toFixed(2);
    const number = `DEMO-${String(i + 1).padStart(3, "0")}`;
    return [
      number,
      `${label} (invented)`,
      covers.join(";"),
      price,
      CURRENCY,
      String(5 + (i % 3) * 5),
    ];
  });
  return [PRICE_COLUMNS, ...lines].map((line) => `${line.join(",")}\r\n`).join("");
}

function labelsOf(parts: ToolModel["parts"], ids: readonly string[]): string {
  const labels = ids.map((id) => parts.find((part) => part.id === id)?.label ?? id);
  const [first, ...rest] = labels.map((label, i) => (i === 0 ? label : label.toLowerCase()));
  return `${first ?? ""} with ${rest.join(" and ")}`;
}
