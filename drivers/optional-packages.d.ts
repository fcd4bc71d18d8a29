/*
 * What is used of the packages that a computer may be without (no compiler, no radio): declared
 * here, so that the program is built and starts there too. The links' contract suite runs over the
 * real ones.
 */

// An entry point that it ships without types; `ble/noble.ts` says what is used of it.
declare module "@abandonware/noble/with-custom-binding.js";

declare module "serialport" {
  type Done = (error: Error | null) => void;

  export class SerialPort {
    static list(): Promise<
      {
        path: string;
        manufacturer?: string | undefined;
        serialNumber?: string | undefined;
        vendorId?: string | undefined;
        productId?: string | undefined;
      }[]
    >;
    constructor(options: {
      path: string;
      baudRate: number;
      dataBits: 7 | 8;
      parity: "none" | "even" | "odd";
      stopBits: 1 | 2;
      hupcl: boolean;
      autoOpen: boolean;
    });
    readonly isOpen: boolean;
    open(done: Done): void;
    close(done: Done): void;
    set(lines: { dtr: boolean; rts: boolean }, done: Done): void;
    write(bytes: Buffer, done: (error: Error | null | undefined) => void): boolean;
    on(event: "data", fn: (bytes: Buffer) => void): this;
    on(event: "close" | "error", fn: (error: Error | null) => void): this;
  }
}

declare module "node-hid" {
  export function devicesAsync(): Promise<
    {
      path?: string | undefined;
      vendorId: number;
      productId: number;
      serialNumber?: string | undefined;
      product?: string | undefined;
      usagePage?: number | undefined;
    }[]
  >;

  export class HIDAsync {
    static open(path: string): Promise<HIDAsync>;
    write(report: Buffer): Promise<number>;
    sendFeatureReport(report: Buffer): Promise<number>;
    close(): Promise<void>;
    on(event: "data", fn: (report: Buffer) => void): this;
    on(event: "error", fn: (error: Error) => void): this;
  }
}
