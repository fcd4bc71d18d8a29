/** CRC-32C (Castagnoli), reflected polynomial of RFC 3720 §12.1. */
const POLYNOMIAL = 0x82f63b78;

const TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let remainder = byte;
  for (let bit = 0; bit < 8; bit++) {
    remainder = remainder & 1 ? (remainder >>> 1) ^ POLYNOMIAL : remainder >>> 1;
  }
  return remainder;
});

/** CRC-32C of `bytes` as an unsigned 32-bit number (RFC 3720 B.4 gives test vectors). */
export function crc32c(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = (TABLE[(crc ^ byte) & 0xff] ?? 0) ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
}
