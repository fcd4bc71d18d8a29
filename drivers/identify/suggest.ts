import type { Protocol } from "../../protocols/protocol.js";
import { fitsOf } from "./fit.js";

/** For bytes that are no frame of the protocol in use: what to do now, where another one fits. */
export function suggestion(bytes: Uint8Array, protocols: Iterable<Protocol>): string | null {
  const sending = [...protocols].filter((each) => each.createDialogue === undefined);
  const fits = fitsOf(bytes, sending);
  const [best] = fits;
  if (best === undefined) return null;
  if (fits.length > 1) {
    return `They fit ${fits.map(({ protocol }) => protocol.id).join(" as well as ")}; put the right one in the meter address.`;
  }
  const { protocol, options, frames, bytes: heard } = best;
  const needed = Object.entries({ protocol: protocol.id, ...options }).map((pair) =>
    pair.join("="),
  );
  return `They are ${protocol.id} frames (${frames} in ${heard} bytes): put ${needed.join("&")} in the meter address.`;
}
