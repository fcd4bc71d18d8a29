import { missingPackage } from "../device/trouble.js";

/** What the Bluetooth stack says of itself. */
export type RadioState =
  "unknown" | "resetting" | "unsupported" | "unauthorized" | "poweredOff" | "poweredOn";

/** The part of @abandonware/noble that is used here; the whole of BLE sees no more of it. */
export interface Noble {
  readonly _state: RadioState;
  on(event: "stateChange", fn: (state: RadioState) => void): void;
  on(event: "discover", fn: (peripheral: Peripheral) => void): void;
  on(event: "warning", fn: (message: string) => void): void;
  removeListener(event: string, fn: (...values: never[]) => void): void;
  startScanningAsync(services: readonly string[], duplicates: boolean): Promise<void>;
  stopScanningAsync(): Promise<void>;
}

export interface Peripheral {
  readonly id: string;
  readonly address: string;
  readonly rssi: number;
  readonly state: string;
  readonly advertisement: {
    readonly localName?: string;
    readonly serviceUuids?: readonly string[];
  };
  connectAsync(): Promise<void>;
  cancelConnect(): void;
  disconnectAsync(): Promise<void>;
  discoverAllServicesAndCharacteristicsAsync(): Promise<{ services: readonly Service[] }>;
  once(event: "disconnect", fn: (reason: unknown) => void): void;
  removeAllListeners(): void;
}

export interface Service {
  readonly uuid: string;
  readonly characteristics: readonly Characteristic[];
}

export interface Characteristic {
  readonly uuid: string;
  readonly properties: readonly string[];
  on(event: "data", fn: (bytes: Uint8Array) => void): void;
  removeAllListeners(): void;
  subscribeAsync(): Promise<void>;
  writeAsync(bytes: Uint8Array, withoutResponse: boolean): Promise<void>;
}

/** A Bluetooth stack of its own; a new one where the adapter was not there for the last. */
export type MakeNoble = () => Promise<Noble>;

type Make = (options: object) => Noble;

/** Rejects with what the operating system said where it has no Bluetooth at all. */
export const systemNoble: MakeNoble = async () => {
  const { default: make } = await loadPackage();
  return quiet(make({}));
};

async function loadPackage(): Promise<{ default: Make }> {
  try {
    return (await import("@abandonware/noble/with-custom-binding.js")) as { default: Make };
  } catch (cause) {
    throw missingPackage("ble", "@abandonware/noble", cause);
  }
}

interface Bindings {
  _hci?: unknown;
  _state: RadioState | null;
  onStateChange(state: RadioState): void;
  emit(event: "stateChange", state: RadioState): void;
}

/**
 * The Linux binding prints advice of its own to standard output, which belongs to this program's
 * data; it is bound when the binding starts, so that it can be replaced before.
 */
function quiet(noble: Noble): Noble {
  const { _bindings: bindings } = noble as Noble & { _bindings: Bindings };
  if (bindings._hci === undefined) return noble;
  bindings.onStateChange = function (this: Bindings, state) {
    if (this._state === state) return;
    this._state = state;
    this.emit("stateChange", state);
  };
  return noble;
}
