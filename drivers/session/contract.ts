import type { DecoderStats } from "../../protocols/decoder.js";
import type { Protocol, ProtocolOptions } from "../../protocols/protocol.js";
import type { RawSink } from "../../protocols/raw-log.js";
import type { TickStats } from "../../protocols/timing/tick.js";
import type { Clock } from "../clock.js";
import type { Arrivals } from "./arrivals.js";
import type { LinkSource } from "../link-kind.js";
import type { MeterState, SessionEvent } from "../session-state.js";

/** What a session must know of its meter; `ChosenMeter` is one. */
interface SessionMeter {
  /** What people call it in advice: "serial:/dev/ttyUSB0". */
  readonly title: string;
  readonly protocol: Protocol;
  readonly protocolOptions: ProtocolOptions;
  /** Connect anew after a long silence: the far end can vanish without a sign. */
  readonly vanishes: boolean;
  /** What to do about bytes that are no frame of this protocol, where it can be told. */
  suggest?(bytes: Uint8Array): string | null;
  source(clock: Clock): Promise<LinkSource>;
}

export interface SessionSetup {
  /** "a", "b", … in the order in which the meters were named. */
  readonly channel: string;
  readonly meter: SessionMeter;
  readonly clock: Clock;
  /** Shared by the sessions of one job: keeps their chunks in order. */
  readonly arrivals?: Arrivals;
  /** Gets every chunk before anything looks at it. */
  readonly rawSink: RawSink;
  /** Time 0 of the job on `clock`. */
  readonly origin_ns: bigint;
  readonly onEvent: (event: SessionEvent) => void;
}

export interface MeterSession {
  readonly channel: string;
  readonly state: MeterState;
  /** Frames, skipped bytes and rejected frames over all connections so far. */
  readonly stats: DecoderStats;
  /** The meter's tick and how late its readings came: what the sampling times rest on. */
  readonly timing: TickStats;
  /** The computer is about to sleep, or somebody pulled the rug: readings stop counting. */
  interrupted(): void;
  /** It is awake again: connect anew and go live only on a fresh valid frame. */
  resumed(): void;
  /** Awaited and idempotent; no event after it resolved. */
  close(): Promise<void>;
}
