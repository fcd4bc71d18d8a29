import { LeadhandError } from "../../protocols/error.js";
import { within } from "../base-link.js";
import type { Clock } from "../clock.js";
import type { MakeNoble, Noble, Peripheral, RadioState } from "./noble.js";

const READY_MS = 5_000;
const SCAN_COMMAND_MS = 3_000;

/** A radio device that was heard. */
export interface Heard {
  /** Stable where the system hides addresses (macOS). */
  readonly id: string;
  /** Upper case; empty where the system hides it. */
  readonly address: string;
  readonly name: string | null;
  /** Signal strength, dBm. */
  readonly rssi: number;
  readonly services: readonly string[];
}

/**
 * The computer's Bluetooth radio, shared by all meters: it is either scanning for one of them or
 * connecting one. Nothing that the stack leaves unanswered keeps anybody waiting for ever.
 */
export class Radio {
  readonly #make: MakeNoble;
  readonly #clock: Clock;
  #noble: Noble | null = null;
  #queue: Promise<unknown> = Promise.resolve();

  constructor(make: MakeNoble, clock: Clock) {
    this.#make = make;
    this.#clock = clock;
  }

  /** One after the other: scanning and connecting disturb each other. */
  exclusively<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.#queue.then(work);
    this.#queue = turn.catch(() => undefined);
    return turn;
  }

  /** Listens until `heard` returns true or the time is over; gives the one it was true for. */
  async scan(limit_ms: number, heard: (who: Heard) => boolean): Promise<Peripheral | null> {
    const noble = await this.#ready();
    let stop = (_: Peripheral | null): void => undefined;
    const found = new Promise<Peripheral | null>((resolve) => (stop = resolve));
    const discover = (peripheral: Peripheral): void => {
      if (heard(describe(peripheral))) stop(peripheral);
    };
    noble.on("discover", discover);
    const cancel = this.#clock.after(limit_ms, () => stop(null));
    try {
      // Duplicates wanted: a meter that was heard before its connection broke is heard again.
      await this.#command(noble.startScanningAsync([], true));
      return await found;
    } finally {
      cancel();
      noble.removeListener("discover", discover);
      await this.#command(noble.stopScanningAsync()).catch(() => undefined);
    }
  }

  #command(work: Promise<void>): Promise<void> {
    return within(this.#clock, SCAN_COMMAND_MS, work, () => unanswered());
  }

  /** Rejects where the radio is off, forbidden, unable or not there. */
  async #ready(): Promise<Noble> {
    const noble = (this.#noble ??= await this.#start());
    const settled = waitForState(noble);
    const state = await within(this.#clock, READY_MS, settled, () => troubleOf("unknown")).catch(
      () => "unknown" as const,
    );
    if (state === "poweredOn") return noble;
    // A stack that could not start never tries again.
    if (noble._state === "unknown") this.#noble = null;
    throw troubleOf(state);
  }

  async #start(): Promise<Noble> {
    try {
      return await this.#make();
    } catch (thrown) {
      if (thrown instanceof LeadhandError) throw thrown;
      throw troubleOf(FORBIDDEN.test(String(thrown)) ? "unauthorized" : "unknown");
    }
  }
}

/** What the operating system says to a program that may not use the radio. */
const FORBIDDEN = /EPERM|EACCES|not permitted|permission/i;

/** The first state that means something; "unknown" at once where the stack says it has no adapter. */
function waitForState(noble: Noble): Promise<RadioState> {
  return new Promise((resolve) => {
    const judge = (state: RadioState): void => {
      if (state === "unknown" || state === "resetting") return;
      noble.removeListener("stateChange", judge);
      noble.removeListener("warning", warned);
      resolve(state);
    };
    const warned = (message: string): void => {
      if (noble._state !== "unknown") return;
      resolve(FORBIDDEN.test(message) ? "unauthorized" : "unknown");
    };
    noble.on("warning", warned);
    // The stack starts when somebody listens.
    noble.on("stateChange", judge);
    judge(noble._state);
  });
}

function describe(peripheral: Peripheral): Heard {
  const { id, address, rssi, advertisement } = peripheral;
  return {
    id,
    address: address.toUpperCase(),
    name: advertisement.localName ?? null,
    rssi,
    services: advertisement.serviceUuids ?? [],
  };
}

function troubleOf(state: RadioState): LeadhandError {
  switch (state) {
    case "poweredOff":
      return new LeadhandError("meter/bluetooth-off", {
        what: "Bluetooth is switched off on this computer.",
        action: "Switch it on; the meter is then found by itself.",
      });
    case "unauthorized":
      return new LeadhandError("meter/bluetooth-denied", {
        what: "This program may not use Bluetooth.",
        action:
          "macOS, Windows: allow it in the privacy settings. Linux: have an administrator give the program's binary the capability cap_net_raw.",
      });
    case "unsupported":
      return new LeadhandError("meter/no-bluetooth-le", {
        what: "This computer's Bluetooth adapter cannot do Bluetooth Low Energy.",
        action: "Use an adapter of Bluetooth 4.0 or newer.",
      });
    default:
      return new LeadhandError("meter/bluetooth-absent", {
        what: "This computer has no Bluetooth adapter that answers.",
        action: "Plug an adapter in, or connect the meter by cable.",
      });
  }
}

function unanswered(): LeadhandError {
  return new LeadhandError("meter/bluetooth-stuck", {
    what: "The Bluetooth adapter does not answer.",
    action: "Switch Bluetooth off and on; the meter is then found by itself.",
  });
}
