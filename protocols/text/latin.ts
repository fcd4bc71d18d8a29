/**
 * Bytes as text: UTF-8 where it is one, else one letter a byte. Meters send Ω, µ and ° in either.
 * Only the two- and three-byte forms are known; no unit needs more.
 */
export function textOfBytes(bytes: Uint8Array): string {
  let text = "";
  for (let at = 0; at < bytes.length; at++) {
    const lead = bytes[at] ?? 0;
    const length = lead >= 0xe0 && lead < 0xf0 ? 3 : lead >= 0xc2 && lead < 0xe0 ? 2 : 1;
    const code = length === 1 ? null : continued(bytes, at, length);
    text += String.fromCharCode(code ?? lead);
    if (code !== null) at += length - 1;
  }
  return text;
}

function continued(bytes: Uint8Array, at: number, length: number): number | null {
  let code = (bytes[at] ?? 0) & (0x7f >> length);
  for (let n = 1; n < length; n++) {
    const byte = bytes[at + n] ?? 0;
    if (byte >> 6 !== 0b10) return null;
    code = (code << 6) | (byte & 0x3f);
  }
  return code;
}

export function bytesOfAscii(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0) & 0x7f);
}
