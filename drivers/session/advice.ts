import type { LeadhandError } from "../../protocols/error.js";
import type { Advice, MeterState } from "../session-state.js";

export function adviceOf(error: LeadhandError): Advice {
  return { code: error.code, what: error.what, action: error.action };
}

/** What a failed attempt to connect makes of a meter. */
export function stateOf(error: LeadhandError): MeterState {
  if (error.code === "meter/denied" || error.code === "meter/bluetooth-denied") return "denied";
  return error.code === "meter/busy" ? "busy" : "absent";
}

/** Trying again cannot help: the address or the installation is at fault. */
export function isFinal(error: LeadhandError): boolean {
  return error.area !== "meter" || error.code.startsWith("meter/no-");
}

export function silentAdvice(title: string): Advice {
  return {
    code: "meter/silent",
    what: `${title} is open, and the meter says nothing.`,
    action:
      "Switch the meter on and its data output too; many want a key held while the dial is turned. Check that the cable sits on its window.",
  };
}

export function staleAdvice(title: string, age_s: number): Advice {
  return {
    code: "meter/stale",
    what: `${title} has sent no reading for ${age_s.toFixed(1)} s.`,
    action: "Wake the meter: many switch themselves off. Check the cable.",
  };
}

export function unreadableAdvice(title: string, protocolId: string, fits: string | null): Advice {
  return {
    code: "meter/unreadable",
    what: `${title} sends bytes, but none of them is a ${protocolId} frame.`,
    action:
      fits ??
      'Check protocol, baud and frame in the meter address; "leadhand meters --identify" tries the usual ones.',
  };
}

export function quietAdvice(title: string, age_s: number): Advice {
  return {
    code: "meter/quiet",
    what: `${title} has been quiet for ${age_s.toFixed(0)} s; the connection may be dead.`,
    action: "It is connected anew by itself; check that the meter is on and in range.",
  };
}

export function sleepAdvice(): Advice {
  return {
    code: "meter/interrupted",
    what: "The computer slept, so readings are missing here.",
    action: "Wait until the meter is live again, then repeat the step that was under way.",
  };
}
