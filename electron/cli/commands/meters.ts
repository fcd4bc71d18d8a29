import { addressFor, identifyPlace } from "../../../drivers/identify/identify-place.js";
import type { Found } from "../../../drivers/identify/identify.js";
import { inventory, placeNamed } from "../../../drivers/inventory.js";
import type { Place } from "../../../drivers/inventory.js";
import { toLeadhandError } from "../../../protocols/error.js";
import type { LeadhandError } from "../../../protocols/error.js";
import { protocols } from "../../../protocols/registry.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import type { Io } from "../io.js";

interface Options {
  readonly identify?: true;
  readonly radio?: true;
  readonly json?: true;
}

export const registerMeters: Register = (program, { io, done }) => {
  program
    .command("meters")
    .description("list the ports and radios here that a meter may be behind")
    .argument("[addresses...]", "meter addresses to look at instead of all that is here")
    .option("--identify", "listen at each port and say what the meter seems to speak")
    .option("--radio", "listen for Bluetooth meters as well (4 s)")
    .option("--json", "one object a line on standard output")
    .action(async (addresses: readonly string[], options: Options) => {
      const here = { radio: options.radio === true };
      const { places, troubles } =
        addresses.length > 0
          ? { places: addresses.map(placeNamed), troubles: [] }
          : await inventory(here);
      for (const trouble of troubles) io.err(trouble.message);
      if (places.length === 0) io.err("No port that a meter may be behind was found.");
      for (const place of places) await tell(io, options, place);
      done(EXIT.done);
    });
};

async function tell(io: Io, options: Options, place: Place): Promise<void> {
  if (options.identify !== true) {
    say(io, options, place, null);
    return;
  }
  io.err(`Listening at ${place.address} …`);
  try {
    say(io, options, place, await identifyPlace(place, protocols.values()));
  } catch (thrown) {
    say(io, options, place, toLeadhandError(thrown));
  }
}

function say(io: Io, options: Options, place: Place, found: Found | LeadhandError | null): void {
  if (options.json === true) io.out(JSON.stringify({ ...place, ...toJson(place, found) }));
  else io.out([place.address, place.title, toWords(place, found)].filter(Boolean).join("  "));
}

function toWords(place: Place, found: Found | LeadhandError | null): string {
  if (found === null) return place.lasting === null ? "" : `(always: ${place.lasting})`;
  if (found instanceof Error) return found.message;
  switch (found.kind) {
    case "silent":
      return "silent: switch the meter and its data output on, and look again";
    case "unknown":
      return `${found.bytes} bytes came, and nothing known explains them`;
    case "ambiguous": {
      const fitting = found.matches.map((match) => addressFor(place, match));
      return `more than one fits, so choose: ${fitting.join("  or  ")}`;
    }
    case "speaks": {
      const { fit, says } = found.match;
      const frames = fit === null ? "" : `, ${fit.frames} frames in ${fit.bytes} bytes`;
      return `${addressFor(place, found.match)}  (${says ?? found.match.protocol.title}${frames})`;
    }
  }
}

function toJson(place: Place, found: Found | LeadhandError | null): object {
  if (found === null) return {};
  if (found instanceof Error) {
    const { code, what, action } = found;
    return { error: { code, what, action } };
  }
  if (found.kind === "silent") return { found: "silent" };
  if (found.kind === "unknown") return { found: "unknown", bytes: found.bytes };
  const matches = found.kind === "speaks" ? [found.match] : found.matches;
  const hasLine = place.scheme === "serial" || place.scheme === "hid";
  return {
    found: found.kind,
    fits: matches.map((match) => ({
      meter: addressFor(place, match),
      protocol: match.protocol.id,
      baud: hasLine ? match.line.baud : null,
      frame: hasLine ? match.line.frame : null,
      frames: match.fit?.frames ?? null,
      rejected: match.fit?.rejected ?? null,
      bytes: match.fit?.bytes ?? null,
      says: match.says,
    })),
  };
}
