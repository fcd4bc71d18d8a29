import { EventEmitter } from "node:events";
import type { ElectronApi } from "../../electron/desktop/api.js";

/** What the shell did to Electron, in order, by name. */
export interface Recorded {
  readonly log: string[];
  readonly windowOptions: { webPreferences?: Record<string, unknown> }[];
  readonly posted: { channel: string; ports: number }[];
  readonly children: EventEmitter[];
  permission:
    | ((contents: unknown, name: string, answer: (yes: boolean) => void, details: object) => void)
    | null;
  check: ((contents: unknown, name: string, origin: string, details: object) => boolean) | null;
  readonly app: EventEmitter;
}

/**
 * A double of the part of Electron that the shell uses. It behaves as Electron documents it where
 * the shell depends on that (events, ports, exit of a child) and records the rest.
 */
export function desktopDouble(): { api: ElectronApi; recorded: Recorded } {
  const app = new EventEmitter();
  const recorded: Recorded = {
    log: [],
    windowOptions: [],
    posted: [],
    children: [],
    permission: null,
    check: null,
    app,
  };
  const api = {
    app: Object.assign(app, {
      requestSingleInstanceLock: () => true,
      quit: () => recorded.log.push("quit"),
      commandLine: {
        appendSwitch: (name: string) => recorded.log.push(`switch:${name}`),
      },
      enableSandbox: () => recorded.log.push("enableSandbox"),
      whenReady: () => {
        recorded.log.push("ready");
        return Promise.resolve();
      },
    }),
    protocol: {
      registerSchemesAsPrivileged: () => recorded.log.push("scheme"),
      handle: () => recorded.log.push("pages"),
    },
    session: {
      defaultSession: {
        setPermissionRequestHandler: (fn: Recorded["permission"]) => (recorded.permission = fn),
        setPermissionCheckHandler: (fn: Recorded["check"]) => {
          recorded.check = fn;
          recorded.log.push("check");
        },
        setDevicePermissionHandler: (fn: () => boolean) => recorded.log.push(`device:${fn()}`),
      },
    },
    powerMonitor: new EventEmitter(),
    MessageChannelMain: class {
      readonly port1 = {};
      readonly port2 = {};
    },
    utilityProcess: {
      fork: () => {
        const child = Object.assign(new EventEmitter(), {
          postMessage: (message: unknown, ports: unknown[] = []) =>
            recorded.log.push(`child:${String(message)}:${ports.length}`),
          kill: () => recorded.log.push("kill"),
        });
        recorded.children.push(child);
        recorded.log.push("fork");
        return child;
      },
    },
    BrowserWindow: windowDouble(app, recorded),
  };
  return { api: api as unknown as ElectronApi, recorded };
}

function windowDouble(app: EventEmitter, recorded: Recorded) {
  return class extends EventEmitter {
    readonly webContents = Object.assign(new EventEmitter(), {
      setWindowOpenHandler: (fn: () => { action: string }) => {
        recorded.log.push(`open:${fn().action}`);
      },
      postMessage: (channel: string, _message: unknown, ports: unknown[] = []) => {
        recorded.posted.push({ channel, ports: ports.length });
      },
    });
    constructor(options: Recorded["windowOptions"][number]) {
      super();
      recorded.windowOptions.push(options);
      app.emit("web-contents-created", {}, this.webContents);
    }
    isDestroyed = () => false;
    isMinimized = () => true;
    restore = () => recorded.log.push("restore");
    focus = () => recorded.log.push("focus");
    show = () => recorded.log.push("show");
    loadURL = (url: string) => {
      recorded.log.push(`load:${url}`);
      this.webContents.emit("did-finish-load");
      return Promise.resolve();
    };
  };
}
