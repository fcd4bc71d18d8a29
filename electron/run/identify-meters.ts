import { parseAddress } from "../../drivers/address.js";
import { addressFor, identifyPlace } from "../../drivers/identify/identify-place.js";
import { placeNamed } from "../../drivers/inventory.js";
import { LeadhandError } from "../../protocols/error.js";
import { protocols } from "../../protocols/registry.js";

/**
 * The meter addresses, completed: where one does not say what the meter speaks, the program listens
 * there and finds out. Rejects with `meter/unidentified` rather than guess.
 */
export async function identifyMeters(addresses: readonly string[]): Promise<string[]> {
  const complete: string[] = [];
  for (const address of addresses) complete.push(await identified(address));
  return complete;
}

async function identified(text: string): Promise<string> {
  const { scheme, options } = parseAddress(text);
  // Others speak one protocol by their kind, or are not listened to unasked (radio).
  if ((scheme !== "serial" && scheme !== "hid") || options.size > 0) return text;
  const place = placeNamed(text);
  const found = await identifyPlace(place, protocols.values());
  switch (found?.kind) {
    case "speaks":
      return addressFor(place, found.match);
    case "ambiguous":
      throw unidentified(
        `What comes from ${text} fits more than one protocol.`,
        `Name the meter by one of these addresses: ${found.matches.map((match) => addressFor(place, match)).join(" or ")}.`,
      );
    case "unknown":
      throw unidentified(
        `${found.bytes} bytes came from ${text}, and nothing known explains them.`,
        "Look up baud rate and framing in the meter's manual, and add protocol=… to its address.",
      );
    case "silent":
    case undefined:
      throw unidentified(
        `Nothing comes from ${text}, so that it is not known what the meter speaks.`,
        "Switch the meter and its data output on and start again; or add protocol=… to its address.",
      );
  }
}

function unidentified(what: string, action: string): LeadhandError {
  return new LeadhandError("meter/unidentified", { what, action });
}
