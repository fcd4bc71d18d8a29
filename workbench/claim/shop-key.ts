import {
  createHash,
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  sign,
  verify,
  type KeyObject,
} from "node:crypto";
import { constants } from "node:fs";
import * as fs from "node:fs/promises";
import { homedir } from "node:os";
import { dirname, join } from "node:path";
import { LeadhandError } from "../../protocols/error.js";

/** The key a shop signs its claims with: Ed25519 (RFC 8032). */
export interface ShopKey {
  readonly publicPem: string;
  readonly fingerprint: string;
  /** 64 bytes (RFC 8032, 5.1.6). */
  sign(message: Uint8Array): Uint8Array;
}

/** Where the key is kept when nobody says otherwise. */
export function defaultKeyPath(env: Readonly<Record<string, string | undefined>>): string {
  const base =
    env["LEADHAND_CONFIG"] ??
    (process.platform === "win32" && env["APPDATA"] !== undefined
      ? join(env["APPDATA"], "leadhand")
      : join(env["XDG_CONFIG_HOME"] ?? join(homedir(), ".config"), "leadhand"));
  return join(base, "shop-key.pem");
}

/**
 * The key in the file, made there on first use, readable by its owner only. Rejects with
 * `pack/key-exposed` where others may read it and `pack/key-unreadable` where it is not a key.
 */
export async function openShopKey(path: string): Promise<ShopKey> {
  const pem = (await readKey(path)) ?? (await makeKey(path));
  return shopKeyOf(pem, path);
}

export function shopKeyOf(pem: string, path = "the key"): ShopKey {
  const key = parseKey(pem, path);
  const publicKey = createPublicKey(key);
  return {
    publicPem: publicKey.export({ type: "spki", format: "pem" }).toString(),
    fingerprint: fingerprintOf(publicKey),
    sign: (message) => new Uint8Array(sign(null, message, key)),
  };
}

/** The public half of a signature, as it lies in a pack. null where it is not an Ed25519 key. */
export function readPublicKey(pem: string): KeyObject | null {
  try {
    const key = createPublicKey(pem);
    return key.asymmetricKeyType === "ed25519" ? key : null;
  } catch {
    return null;
  }
}

export function isSignedBy(key: KeyObject, message: Uint8Array, signature: Uint8Array): boolean {
  return signature.length === 64 && verify(null, message, key, signature);
}

/** SHA-256 of the public key in DER (SubjectPublicKeyInfo, RFC 8410), as 64 hexadecimal digits. */
export function fingerprintOf(key: KeyObject): string {
  const der = key.export({ type: "spki", format: "der" });
  return createHash("sha256").update(der).digest("hex");
}

/** In groups of four, to be compared by eye. */
export function groupedFingerprint(fingerprint: string): string {
  return fingerprint.match(/.{1,4}/g)?.join(" ") ?? "";
}

async function readKey(path: string): Promise<string | null> {
  let handle: fs.FileHandle;
  try {
    handle = await fs.open(path, constants.O_RDONLY);
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code === "ENOENT") return null;
    throw unreadable(path, thrown);
  }
  try {
    const { mode } = await handle.stat();
    if (process.platform !== "win32" && (mode & 0o077) !== 0) throw exposed(path);
    return await handle.readFile("utf8");
  } catch (thrown) {
    throw thrown instanceof LeadhandError ? thrown : unreadable(path, thrown);
  } finally {
    await handle.close();
  }
}

async function makeKey(path: string): Promise<string> {
  const { privateKey } = generateKeyPairSync("ed25519");
  const pem = privateKey.export({ type: "pkcs8", format: "pem" }).toString();
  try {
    await fs.mkdir(dirname(path), { recursive: true, mode: 0o700 });
    await fs.writeFile(path, pem, { mode: 0o600, flag: "wx", flush: true });
    return pem;
  } catch (thrown) {
    // Another process may have made it in this moment; then that one is the shop's key.
    const made = await readKey(path);
    if (made !== null) return made;
    throw unreadable(path, thrown);
  }
}

function parseKey(pem: string, path: string): KeyObject {
  try {
    const key = createPrivateKey(pem);
    if (key.asymmetricKeyType === "ed25519") return key;
  } catch (thrown) {
    throw unreadable(path, thrown);
  }
  throw unreadable(path, undefined);
}

function exposed(path: string): LeadhandError {
  return new LeadhandError("pack/key-exposed", {
    what: `Others than its owner may read the shop's key ${path}.`,
    action: `Take their right away (chmod 600), and if somebody may have copied it, make a new key.`,
  });
}

function unreadable(path: string, cause: unknown): LeadhandError {
  return new LeadhandError("pack/key-unreadable", {
    what: `The shop's key ${path} cannot be read or made, or is not an Ed25519 key.`,
    action:
      "Put the key back from your copy. Without one, move the file away: a new key is made, and " +
      "the new fingerprint has to be told to everyone who checks your claims.",
    cause,
  });
}
