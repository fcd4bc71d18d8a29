import type { BrowserWindow } from "electron";
import type { ElectronApi, ShellPaths } from "./api.js";
import { BenchProcess } from "./bench-process.js";
import { lockDown, refusePermissions } from "./lockdown.js";
import { declareScheme, PAGE_URL, servePages } from "./page-protocol.js";

/** The desktop app, start to end. Everything that has to happen before `ready` happens first. */
export async function startShell(
  api: ElectronApi,
  paths: ShellPaths,
  args: readonly string[],
): Promise<void> {
  if (!api.app.requestSingleInstanceLock()) {
    api.app.quit();
    return;
  }
  // On Linux the computer's voice (speech-dispatcher) is used only when asked for.
  api.app.commandLine.appendSwitch("enable-speech-dispatcher");
  lockDown(api);
  declareScheme(api);
  await api.app.whenReady();
  refusePermissions(api);
  servePages(api, paths.page);
  const bench = new BenchProcess(api, paths.bench, args, (delay_ms, fn) =>
    setTimeout(fn, delay_ms),
  );
  bench.start();
  const window = openWindow(api, paths.preload);
  bench.attach(window);
  await window.loadURL(PAGE_URL);
  connectApp(api, bench, window);
}

function openWindow({ BrowserWindow: Window }: ElectronApi, preload: string): BrowserWindow {
  const window = new Window({
    width: 1280,
    height: 860,
    minWidth: 1024,
    minHeight: 700,
    show: false,
    autoHideMenuBar: true,
    webPreferences: {
      preload,
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      webSecurity: true,
      spellcheck: false,
    },
  });
  window.once("ready-to-show", () => {
    window.show();
  });
  return window;
}

function connectApp(api: ElectronApi, bench: BenchProcess, window: BrowserWindow): void {
  api.app.on("second-instance", () => {
    if (window.isMinimized()) window.restore();
    window.focus();
  });
  api.app.on("window-all-closed", () => {
    api.app.quit();
  });
  api.app.on("will-quit", () => {
    bench.stop();
  });
  api.powerMonitor.on("suspend", () => {
    bench.tell("suspend");
  });
  api.powerMonitor.on("resume", () => {
    bench.tell("resume");
  });
}
