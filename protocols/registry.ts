import { LeadhandError } from "./error.js";
import { gatt } from "./gatt/protocol.js";
import { nibble11, nibble14 } from "./nibble/protocol.js";
import type { Protocol } from "./protocol.js";
import { ascii14 } from "./ascii-14/protocol.js";
import { asciiLine } from "./ascii-line/protocol.js";
import { scpi } from "./scpi/protocol.js";
import { segment14 } from "./segment-14/protocol.js";
import { editDistance } from "./text/edit-distance.js";

/** One line a protocol. */
const ALL: readonly Protocol[] = [scpi, asciiLine, segment14, ascii14, nibble11, nibble14, gatt];

/** Every protocol by its id, in the order of the lists on screens. */
export const protocols: ReadonlyMap<string, Protocol> = new Map(
  ALL.map((protocol) => [protocol.id, protocol]),
);

/** Throws `usage/unknown-protocol`, naming the nearest ids. */
export function findProtocol(id: string): Protocol {
  const found = protocols.get(id);
  if (found !== undefined) return found;
  const nearest = nearestIds(id);
  const action =
    nearest.length > 0
      ? `Did you mean ${nearest.join(" or ")}?`
      : `Choose one of ${[...protocols.keys()].join(", ")}.`;
  throw new LeadhandError("usage/unknown-protocol", {
    what: `There is no protocol "${id}".`,
    action,
  });
}

/** Ids that differ by little: a slip of the keyboard, a missing part. */
function nearestIds(id: string): string[] {
  const wanted = id.toLowerCase();
  return [...protocols.keys()]
    .map((known) => ({ known, distance: editDistance(wanted, known) }))
    .filter(({ known, distance }) => distance <= Math.max(2, known.length / 3))
    .sort((a, b) => a.distance - b.distance)
    .slice(0, 2)
    .map(({ known }) => known);
}
