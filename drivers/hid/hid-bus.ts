import type * as HidPackage from "node-hid";
import { missingPackage } from "../device/trouble.js";

/** A HID device that is here. Ids are four lower-case hex digits. */
export interface HidFound {
  readonly path: string;
  readonly vendor: string;
  readonly product: string;
  readonly serial: string | null;
  readonly name: string | null;
  /** Its reports are of its maker's own design: no keyboard, mouse or the like. */
  readonly isVendors: boolean;
}

/** HID Usage Tables 1.4, section 3: pages from here on are vendor-defined. */
const VENDOR_PAGES = 0xff00;

export interface OpenHid {
  onReport: (report: Uint8Array) => void;
  onError: (error: Error) => void;
  write(report: Uint8Array): Promise<void>;
  setFeature(report: Uint8Array): Promise<void>;
  close(): Promise<void>;
}

/** The HID devices of a computer; injected, so that tests need none. */
export interface HidBus {
  list(): Promise<readonly HidFound[]>;
  open(path: string): Promise<OpenHid>;
}

/** The devices of this computer, through the node-hid package. */
export const systemHid: HidBus = {
  async list() {
    const devices = await (await loadPackage()).devicesAsync();
    return devices.flatMap((device) => {
      if (device.path === undefined) return [];
      const serial = device.serialNumber === "" ? null : (device.serialNumber ?? null);
      const { path, vendorId, productId, product: name = null, usagePage = 0 } = device;
      const [vendor, product] = [hex(vendorId), hex(productId)];
      // Where the system does not tell the page, the person may still know the device.
      const isVendors = usagePage === 0 || usagePage >= VENDOR_PAGES;
      return [{ path, vendor, product, serial, name, isVendors }];
    });
  },
  async open(path) {
    const device = await (await loadPackage()).HIDAsync.open(path);
    const open: OpenHid = {
      onReport: () => undefined,
      onError: () => undefined,
      write: async (report) => {
        await device.write(Buffer.from(report));
      },
      setFeature: async (report) => {
        await device.sendFeatureReport(Buffer.from(report));
      },
      close: () => device.close(),
    };
    device.on("data", (report: Buffer) => open.onReport(report));
    device.on("error", (error: Error) => open.onError(error));
    return open;
  },
};

async function loadPackage(): Promise<typeof HidPackage> {
  try {
    const loaded = (await import("node-hid")) as typeof HidPackage & {
      default?: typeof HidPackage;
    };
    return loaded.default ?? loaded;
  } catch (cause) {
    throw missingPackage("hid", "node-hid", cause);
  }
}

function hex(id: number): string {
  return id.toString(16).padStart(4, "0");
}
