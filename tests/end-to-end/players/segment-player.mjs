/**
 * Plays a hand-held meter on a serial line: four frames a second, paced like 2400 baud, showing
 * whatever it was last told on standard input ({"text":"18.04","dial":"V dc"}, one a line; an array
 * is shown in turn, its last member staying). {"raw":"hex"} sends bytes as they are, {"silent":true}
 * stops sending. Usage: node segment-player.mjs /dev/pts/N
 */
import { openSync, writeSync } from "node:fs";
import { createInterface } from "node:readline";
import { segmentFrame } from "./segment-frames.mjs";

const port = openSync(process.argv[2], "w");
let queue = [{ text: "0.000", dial: "V dc" }];

createInterface({ input: process.stdin }).on("line", (line) => {
  const told = JSON.parse(line);
  queue = Array.isArray(told) ? told : [told];
});
process.stdin.on("end", () => process.exit(0));

setInterval(() => {
  const now = queue.length > 1 ? queue.shift() : queue[0];
  if (now.silent) return;
  const frame = now.raw ? Buffer.from(now.raw, "hex") : segmentFrame(now.text, now.dial);
  // 2400 baud 8N1 is 4.2 ms a byte: the frame arrives in pieces, as on a real line.
  [0, 5, 9].forEach((from, n, all) => {
    setTimeout(() => writeSync(port, frame.subarray(from, all[n + 1])), n * 20);
  });
}, 250);
