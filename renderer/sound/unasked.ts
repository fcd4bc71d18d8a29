/** Samples of silence to try with: a tenth of a second at 8 kHz. */
const SILENT_SAMPLES = 800;

/**
 * Whether the browser lets this page sound before anybody has touched it. The desktop app and the
 * window that `npm start` opens do; a browser's own tab does not. Asked with a silent clip, since an
 * audio context that is refused writes a warning to the console and a clip that is refused does not.
 */
export async function maySoundUnasked(): Promise<boolean> {
  // Never revoked: the element may still read it when play() is refused, and the browser would
  // write an error to the console. It is under a kilobyte, once a page.
  const address = URL.createObjectURL(silence());
  try {
    await new Audio(address).play();
    return true;
  } catch {
    return false;
  }
}

/** Silence as a RIFF WAVE file: one channel of unsigned 8-bit samples, whose zero is 128. */
function silence(): Blob {
  const head = new DataView(new ArrayBuffer(44));
  const text = (at: number, chars: string): void => {
    for (let i = 0; i < chars.length; i++) head.setUint8(at + i, chars.charCodeAt(i));
  };
  text(0, "RIFF");
  head.setUint32(4, 36 + SILENT_SAMPLES, true);
  text(8, "WAVEfmt ");
  head.setUint32(16, 16, true);
  head.setUint16(20, 1, true); // linear samples
  head.setUint16(22, 1, true); // one channel
  head.setUint32(24, 8000, true);
  head.setUint32(28, 8000, true);
  head.setUint16(32, 1, true);
  head.setUint16(34, 8, true);
  text(36, "data");
  head.setUint32(40, SILENT_SAMPLES, true);
  return new Blob([head, new Uint8Array(SILENT_SAMPLES).fill(128)], { type: "audio/wav" });
}
