import type { Protocol, ProtocolOptions } from "../../protocols/protocol.js";

/** How well bytes are explained as frames of a protocol. */
export interface Fit {
  readonly protocol: Protocol;
  /** Under these options of the protocol. */
  readonly options: ProtocolOptions;
  /** Frames that became readings. */
  readonly frames: number;
  /** Complete frames that were implausible. */
  readonly rejected: number;
  readonly bytes: number;
  /** Bytes that belong to a valid frame, 0 to 1. */
  readonly explained: number;
}

/** Fewer frames than this can be chance. */
const FEWEST_FRAMES = 3;
/** The first and the last frame of a listening are cut; the rest must be the protocol's. */
const EXPLAINED = 0.75;

/**
 * The protocols that explain the bytes, best first; empty where none does. A reader of text lines
 * takes much for text: where a frame of fixed length fits, with every byte of it checked, it does
 * not count.
 */
export function fitsOf(bytes: Uint8Array, protocols: Iterable<Protocol>): Fit[] {
  const fits = [...protocols]
    .filter(({ isUnframed }) => !isUnframed)
    .flatMap((protocol) => bestFit(bytes, protocol) ?? [])
    .sort((a, b) => b.explained - a.explained || b.frames - a.frames);
  const framed = fits.filter(({ protocol }) => protocol.frameLength !== null);
  return framed.length > 0 ? framed : fits;
}

/** Plain, or else under the first of its variants that fits. */
function bestFit(bytes: Uint8Array, protocol: Protocol): Fit | null {
  for (const options of [{}, ...(protocol.variants ?? [])]) {
    const fit = fitOf(bytes, protocol, options);
    if (fit.frames >= FEWEST_FRAMES && fit.explained >= EXPLAINED) return fit;
  }
  return null;
}

function fitOf(bytes: Uint8Array, protocol: Protocol, options: ProtocolOptions): Fit {
  const decoder = protocol.createDecoder(options);
  decoder.push(bytes);
  const { frames, skippedBytes, rejected } = decoder.stats;
  const refused = Object.values(rejected).reduce((sum, count) => sum + count, 0);
  const refusedBytes = refused * (protocol.frameLength ?? 0);
  // Lines have no length of their own: there the share of refused lines stands for their bytes.
  const linesRefused = protocol.frameLength === null ? refused / Math.max(1, frames + refused) : 0;
  const unexplained = (skippedBytes + refusedBytes) / Math.max(1, bytes.length);
  const explained = (1 - unexplained) * (1 - linesRefused);
  return { protocol, options, frames, rejected: refused, bytes: bytes.length, explained };
}
