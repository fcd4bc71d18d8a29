import { expect, test } from "vitest";
import { crc32c } from "../../protocols/crc32c.js";

// RFC 3720 appendix B.4 prints the CRC bytes in the order they are sent; as numbers:
test.each([
  ["32 bytes of zeros", new Uint8Array(32), 0x8a9136aa],
  ["32 bytes of ones", new Uint8Array(32).fill(0xff), 0x62a8ab43],
  ["32 bytes up from 0", Uint8Array.from({ length: 32 }, (_, n) => n), 0x46dd794e],
  ["32 bytes down to 0", Uint8Array.from({ length: 32 }, (_, n) => 31 - n), 0x113fdb5c],
  ["the nine digits", new TextEncoder().encode("123456789"), 0xe3069283],
])("CRC-32C of %s is the one of RFC 3720", (_name, bytes, expected) => {
  expect(crc32c(bytes)).toBe(expected);
});
