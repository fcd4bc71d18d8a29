import type { MeterSession, SessionSetup } from "./session/contract.js";
import { Session } from "./session/session.js";

/*
 * The meter session: keeps one meter connected for as long as a job wants it.
 *
 *   const meter = chooseMeter("serial:/dev/ttyUSB0?protocol=segment-14", { protocol: findProtocol });
 *   const session = openSession({ channel: "a", meter, clock: systemClock, rawSink, origin_ns, onEvent });
 *   …
 *   await session.close();
 *
 * `openSession` returns at once and never throws: whatever goes wrong is a state with advice in
 * words. Everything happens through `onEvent`, one call after another, in this order for a chunk:
 * bytes to `rawSink`, then a state change if there is one, then its readings. Give the sessions of
 * one job the same `clock`, `origin_ns` and `arrivals`, and their times are on one base and in order.
 * `"live"` means that a valid frame was decoded, not that a port opened. A session reconnects until
 * it is closed; a sink that throws (full disk) ends it, with the sink's own error as advice, because
 * a reading that is not kept must not be shown as if it were.
 */

export { Arrivals } from "./session/arrivals.js";
export type { MeterSession, SessionSetup } from "./session/contract.js";

export function openSession(setup: SessionSetup): MeterSession {
  return new Session(setup);
}
