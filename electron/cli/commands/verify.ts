import { readFile } from "node:fs/promises";
import { LeadhandError } from "../../../protocols/error.js";
import { fingerprintOf, readPublicKey } from "../../../workbench/claim/shop-key.js";
import { verifyPack } from "../../../workbench/claim/verify.js";
import type { Check } from "../../../workbench/claim/check.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import { programVersion } from "../../version.js";

export const registerVerify: Register = (program, { io, done }) => {
  program
    .command("verify")
    .argument("<pack>", "the zip")
    .description("check every claim that a pack makes; unpacks nothing")
    .option("--key <fingerprint>", "the key you expect: its fingerprint, or a file with it (PEM)")
    .option("--json", "one JSON object a line")
    .action(async (path: string, { key, json }: { key?: string; json?: true }) => {
      const expected = key === undefined ? null : await fingerprintFrom(key);
      const { checks, good } = await verifyPack(path, expected, programVersion());
      for (const check of checks) io.out(json ? JSON.stringify(check) : line(check));
      if (!json) io.out(good ? "Nothing was found wrong." : "THIS PACK IS NOT AS IT WAS MADE.");
      else io.out(JSON.stringify({ event: "verified", good }));
      done(good ? EXIT.done : EXIT.stepFailed);
    });
};

const MARKS = { good: "good  ", bad: "BAD   ", absent: "absent", open: "open  " } as const;

function line({ claim, outcome, words, places }: Check): string {
  const listed = places.slice(0, MOST_PLACES).map((place) => `\n         ${place}`);
  const more =
    places.length > MOST_PLACES ? `\n         and ${places.length - MOST_PLACES} more` : "";
  return `${MARKS[outcome]} ${claim}: ${words}${listed.join("")}${more}`;
}

const MOST_PLACES = 20;

async function fingerprintFrom(text: string): Promise<string> {
  const digits = text.replaceAll(/[\s:]/g, "").toLowerCase();
  if (/^[0-9a-f]{64}$/.test(digits)) return digits;
  const key = readPublicKey(await readFile(text, "utf8").catch(() => ""));
  if (key !== null) return fingerprintOf(key);
  throw new LeadhandError("usage/key", {
    what: `"${text}" is neither a fingerprint (64 hexadecimal digits) nor a file with an Ed25519 public key.`,
    action: "Give the fingerprint as the shop told it to you, or the file shop-key.pem from it.",
  });
}
