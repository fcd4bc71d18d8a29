import { contentSecurityPolicy, pageFile } from "../bench/static-files.js";
import type { ElectronApi } from "./api.js";

/** Pages come from a scheme of our own: no file://, no network. */
export const PAGE_SCHEME = "leadhand";
export const PAGE_URL = `${PAGE_SCHEME}://window/`;

/** Must run before the app is ready. */
export function declareScheme({ protocol }: Pick<ElectronApi, "protocol">): void {
  protocol.registerSchemesAsPrivileged([
    { scheme: PAGE_SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true } },
  ]);
}

export function servePages({ protocol }: Pick<ElectronApi, "protocol">, folder: string): void {
  protocol.handle(PAGE_SCHEME, (request) => answerPage(request.url, folder));
}

export async function answerPage(address: string, folder: string): Promise<Response> {
  const url = new URL(address);
  const file = url.host === "window" ? await pageFile(folder, url.pathname) : null;
  if (file === null) return new Response("There is nothing here.\n", { status: 404 });
  return new Response(new Uint8Array(file.body), {
    headers: {
      "content-type": file.type,
      "content-security-policy": contentSecurityPolicy,
      "x-content-type-options": "nosniff",
    },
  });
}
