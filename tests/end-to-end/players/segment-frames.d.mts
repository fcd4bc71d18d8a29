export function segmentFrame(
  text: string,
  position: "V dc" | "V ac" | "A dc" | "ohm" | "kohm" | "Mohm",
): Uint8Array;
