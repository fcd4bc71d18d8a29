import { readFile } from "node:fs/promises";
import { extname, join, normalize, sep } from "node:path";

const types: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json; charset=utf-8",
  ".map": "application/json; charset=utf-8",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".woff": "font/woff",
  ".woff2": "font/woff2",
};

export interface PageFile {
  readonly body: Uint8Array;
  readonly type: string;
}

/**
 * A file of the built window by the path of its URL, or null: what does not exist and what would
 * lie outside `folder` look the same from outside.
 */
export async function pageFile(folder: string, urlPath: string): Promise<PageFile | null> {
  const inside = pathInside(folder, urlPath);
  if (inside === null) return null;
  try {
    const type = types[extname(inside)] ?? "application/octet-stream";
    return { body: await readFile(inside), type };
  } catch {
    return null;
  }
}

function pathInside(folder: string, urlPath: string): string | null {
  let decoded: string;
  try {
    decoded = decodeURIComponent(urlPath);
  } catch {
    return null;
  }
  if (decoded.includes("\0")) return null;
  const path = normalize(join(folder, decoded === "/" ? "index.html" : decoded));
  return path.startsWith(normalize(folder) + sep) ? path : null;
}

/** For every page, in the browser and in the desktop app: nothing from elsewhere, no eval. */
export const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "media-src 'self' blob:",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join("; ");
