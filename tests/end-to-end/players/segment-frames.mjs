/**
 * An encoder of the 14-byte segment frame that shares nothing with the product: written from the
 * description of the frame (from memory, no data sheet read), for playing a meter in tests.
 */
const segments = {
  0: 0x7d,
  1: 0x05,
  2: 0x5b,
  3: 0x1f,
  4: 0x27,
  5: 0x3e,
  6: 0x7e,
  7: 0x15,
  8: 0x7f,
  9: 0x3f,
  L: 0x68,
  " ": 0x00,
};

/** Functions as [byte, bit] of the annunciators that are lit. */
const dial = {
  "V dc": [
    [1, 4],
    [13, 4],
  ],
  "V ac": [
    [1, 8],
    [13, 4],
  ],
  "A dc": [
    [1, 4],
    [13, 8],
  ],
  ohm: [[12, 4]],
  kohm: [
    [12, 4],
    [10, 2],
  ],
  Mohm: [
    [12, 4],
    [11, 2],
  ],
};

/**
 * @param {string} text what the display shows, e.g. "-18.04" or " 0.L "
 * @param {keyof typeof dial} position
 */
export function segmentFrame(text, position) {
  const nibbles = new Array(15).fill(0);
  nibbles[1] |= 1 | 2;
  const negative = text.startsWith("-");
  const letters = [];
  const points = [];
  for (const letter of negative ? text.slice(1) : text) {
    if (letter === ".") points.push(letters.length);
    else letters.push(letter);
  }
  while (letters.length < 4) {
    letters.unshift("0");
    points.forEach((at, n) => (points[n] = at + 1));
  }
  letters.forEach((letter, n) => {
    const code = segments[letter];
    nibbles[2 + 2 * n] |= code >> 4;
    nibbles[3 + 2 * n] |= code & 15;
  });
  if (negative) nibbles[2] |= 8;
  for (const at of points) if (at > 0 && at < 4) nibbles[2 + 2 * at] |= 8;
  for (const [byte, bit] of dial[position]) nibbles[byte] |= bit;
  return Uint8Array.from({ length: 14 }, (_, n) => ((n + 1) << 4) | nibbles[n + 1]);
}
