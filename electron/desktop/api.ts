import type * as Electron from "electron";

/** The parts of Electron that the shell uses: tests put a double of this type in their place. */
export type ElectronApi = Pick<
  typeof Electron,
  "app" | "BrowserWindow" | "MessageChannelMain" | "protocol" | "session" | "utilityProcess"
> & { readonly powerMonitor: Pick<Electron.PowerMonitor, "on"> };

export interface ShellPaths {
  /** The built window: a folder with index.html. */
  readonly page: string;
  readonly preload: string;
  /** The entry of the bench process. */
  readonly bench: string;
}
