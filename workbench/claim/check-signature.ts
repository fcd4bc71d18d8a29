import { TAG_MANIFEST } from "./bag.js";
import { check, type Check } from "./check.js";
import { bytesOf, textOf, type OpenPack } from "./open-pack.js";
import { PUBLIC_KEY_FILE, SIGNATURE_FILE } from "./write-bag.js";
import { fingerprintOf, groupedFingerprint, isSignedBy, readPublicKey } from "./shop-key.js";

/**
 * Who signed. `expected`: fingerprint that the reader got from the shop by another way, 64
 * hexadecimal digits; null where he has none.
 */
export async function checkSignature(pack: OpenPack, expected: string | null): Promise<Check[]> {
  const signature = await bytesOf(pack, SIGNATURE_FILE);
  const pem = await textOf(pack, PUBLIC_KEY_FILE);
  if (signature === null || pem === null) {
    const lacking = signature === null ? SIGNATURE_FILE : PUBLIC_KEY_FILE;
    return [
      check("signature", "bad", "The pack is not signed.", [lacking]),
      check("key", "open", "Without a signature there is no key to look at."),
    ];
  }
  const key = readPublicKey(pem);
  if (key === null) {
    return [
      check("signature", "bad", "The key in the pack is not an Ed25519 key.", [PUBLIC_KEY_FILE]),
      check("key", "bad", "The key in the pack cannot be read.", [PUBLIC_KEY_FILE]),
    ];
  }
  const manifest = (await bytesOf(pack, TAG_MANIFEST)) ?? new Uint8Array(0);
  const signed = isSignedBy(key, manifest, signature)
    ? check(
        "signature",
        "good",
        "The signature over the manifests is valid for the key in the pack.",
      )
    : check(
        "signature",
        "bad",
        "The signature does not fit: the pack was altered after signing, or signed with another key.",
        [SIGNATURE_FILE],
      );
  return [signed, checkKey(fingerprintOf(key), expected)];
}

function checkKey(found: string, expected: string | null): Check {
  const shown = groupedFingerprint(found);
  if (expected === null) {
    const words = `Whose key it is, the pack cannot prove. Compare its fingerprint with the one the shop gave you: ${shown}`;
    return check("key", "open", words);
  }
  if (found === expected) return check("key", "good", "It is the key you expect.");
  return check(
    "key",
    "bad",
    `It is another key than the one you expect; its fingerprint is ${shown}`,
  );
}
