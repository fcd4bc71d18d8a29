import { createPrivateKey } from "node:crypto";
import { expect, test } from "vitest";
import {
  parseBagInfo,
  parseManifest,
  formatManifest,
  parseOxum,
} from "../../../workbench/claim/bag.js";
import { readPublicKey, isSignedBy, shopKeyOf } from "../../../workbench/claim/shop-key.js";
import { canonicalJson } from "../../../workbench/job/canonical-json.js";
import { crc32c } from "../../../protocols/crc32c.js";
import { hashOf } from "../../../workbench/job/journal-line.js";
import { checkData } from "../measurement/check-data.js";

/** RFC 8032, 7.1, tests 1 to 3. */
const ED25519 = [
  {
    secret: "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
    public: "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
    message: "",
    signature:
      "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
  },
  {
    secret: "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
    public: "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
    message: "72",
    signature:
      "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
  },
] as const;

test.each(ED25519)("signs and verifies RFC 8032, 7.1: $public", (vector) => {
  // PKCS #8 head of an Ed25519 key (RFC 8410, section 7), then its 32 bytes.
  const der = Buffer.from(`302e020100300506032b657004220420${vector.secret}`, "hex");
  const pem = createPrivateKey({ key: der, format: "der", type: "pkcs8" })
    .export({ type: "pkcs8", format: "pem" })
    .toString();
  const key = shopKeyOf(pem);
  const message = Buffer.from(vector.message, "hex");
  const signature = key.sign(message);
  expect(Buffer.from(signature).toString("hex")).toBe(vector.signature);
  const publicKey = readPublicKey(key.publicPem)!;
  const spki = publicKey.export({ type: "spki", format: "der" });
  expect(spki.subarray(-32).toString("hex")).toBe(vector.public);
  expect(isSignedBy(publicKey, message, signature)).toBe(true);
  signature[0] = signature[0]! ^ 1;
  expect(isSignedBy(publicKey, message, signature)).toBe(false);
});

test("SHA-256 of abc is FIPS 180-4's, CRC-32C of 32 zeros RFC 3720's (B.4)", () => {
  expect(hashOf("abc")).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  expect(crc32c(new Uint8Array(32)).toString(16)).toBe("8a9136aa");
});

interface CanonicalVectors {
  readonly vectors: Readonly<Record<string, { inputJsonText: string; canonical: string }>>;
}

const canonical = checkData("jcs.json") as CanonicalVectors | null;

test.skipIf(canonical === null)("canonical JSON gives the test data of RFC 8785", () => {
  const vectors = Object.values(canonical!.vectors);
  expect(vectors.length).toBeGreaterThan(3);
  for (const { inputJsonText, canonical: expected } of vectors) {
    expect(canonicalJson(JSON.parse(inputJsonText))).toBe(expected);
  }
});

test("bag-info and Payload-Oxum read as RFC 8493 writes them (2.2.2 and its example)", () => {
  const info = parseBagInfo(
    "Source-Organization: FOO University\r\nExternal-Description: Uncompressed greyscale TIFF\r\n  images from the FOO papers\r\nPayload-Oxum: 279164409832.1198\r\nBag-Count: 1 of 15\r\n",
  );
  expect(info[1]?.[1]).toBe("Uncompressed greyscale TIFF images from the FOO papers");
  expect(parseOxum(info[2]?.[1] ?? "")).toEqual({ octets: 279164409832, files: 1198 });
  expect(parseOxum("12")).toBeNull();
});

test("names with line breaks and percent signs survive a manifest (RFC 8493, 2.1.3)", () => {
  const sha256 = "0".repeat(64);
  const entries = [{ path: "data/50%\n25%0A\r.txt", sha256 }];
  const text = formatManifest(entries);
  expect(text).toBe(`${sha256}  data/50%25%0A25%250A%0D.txt\n`);
  expect(parseManifest(text)).toEqual(entries);
  expect(() => parseManifest("abc  data/x\n")).toThrow("line 1");
});
