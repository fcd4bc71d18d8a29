import type { HandRequest } from "../hand/request.js";

const REST: HandRequest["condition"] = {
  trigger: "released",
  pack: "out",
  charger: "unplugged",
  shaft: "still",
  case: "closed",
  mains: "unplugged",
  motor: "connected",
};

type Change = Partial<HandRequest["condition"]>;

/** DC volts between two points. */
export function volts(red: string, black: string, change: Change = {}): HandRequest {
  const dial = { quantity: "voltage", coupling: "dc" } as const;
  return { red, black, condition: { ...REST, ...change }, dial, action: "touch" };
}

/** Ohms between two points. */
export function ohms(red: string, black: string, change: Change = {}): HandRequest {
  const dial = { quantity: "resistance", coupling: null } as const;
  return { red, black, condition: { ...REST, ...change }, dial, action: "touch" };
}

/** AC volts between two points. */
export function ac(red: string, black: string, change: Change = {}): HandRequest {
  return { ...volts(red, black, change), dial: { quantity: "voltage", coupling: "ac" } };
}
