import type { WebContents } from "electron";
import type { ElectronApi } from "./api.js";
import { PAGE_URL } from "./page-protocol.js";

/**
 * Electron's security checklist, as far as it is code: no page but ours, no window but ours, no
 * permission at all. Must run before the app is ready.
 */
export function lockDown({ app }: Pick<ElectronApi, "app">): void {
  app.enableSandbox();
  app.on("web-contents-created", (_event, contents) => {
    lockContents(contents);
  });
}

/**
 * Every permission is refused but one: the camera, without its microphone, for our own page. The
 * page asks for it only when somebody has pressed "Take a photo".
 */
export function refusePermissions({ session }: Pick<ElectronApi, "session">): void {
  const own = session.defaultSession;
  own.setPermissionRequestHandler((_contents, permission, answer, details) => {
    const media = "mediaTypes" in details ? (details.mediaTypes ?? []) : [];
    const camera = permission === "media" && media.length === 1 && media[0] === "video";
    answer(camera && isOurPage(details.requestingUrl));
  });
  own.setPermissionCheckHandler(
    (_contents, permission, origin, details) =>
      permission === "media" && details.mediaType === "video" && isOurPage(origin),
  );
  own.setDevicePermissionHandler(() => false);
}

function lockContents(contents: WebContents): void {
  contents.setWindowOpenHandler(() => ({ action: "deny" }));
  contents.on("will-attach-webview", (event) => {
    event.preventDefault();
  });
  contents.on("will-navigate", (event) => {
    if (!isOurPage(event.url)) event.preventDefault();
  });
}

/** By parsed parts, never by prefix: `leadhand://window.elsewhere/` starts like ours. */
export function isOurPage(address: string): boolean {
  if (!URL.canParse(address)) return false;
  const asked = new URL(address);
  const ours = new URL(PAGE_URL);
  return asked.protocol === ours.protocol && asked.host === ours.host;
}
