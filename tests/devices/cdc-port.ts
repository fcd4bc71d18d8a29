import { rig } from "./rig.js";
import type { GuestJob } from "./guest-job.js";

const GADGET = "/bin/bash /opt/rig/acm_gadget.sh";
export const CDC_PATH = "/dev/ttyACM0";

/** A meter with a USB serial port of its own: the kernel's CDC-ACM function on its dummy controller. */
export class CdcPort {
  readonly #far: GuestJob;
  #plugged = true;

  private constructor(far: GuestJob) {
    this.#far = far;
  }

  static async plug(): Promise<CdcPort> {
    await rig.run(`${GADGET} up`);
    const far = rig.launch("exec /usr/bin/python3 /app/tests/devices/guest/far_end.py");
    await far.line((line) => line["event"] === "there");
    return new CdcPort(far);
  }

  say(bytes: Uint8Array): void {
    this.#far.send(Buffer.from(bytes).toString("hex"));
  }

  heard(): Uint8Array {
    const parts = this.#far.lines.flatMap((line) => {
      const hex = line["heard"];
      return typeof hex === "string" ? [Buffer.from(hex, "hex")] : [];
    });
    return Uint8Array.from(Buffer.concat(parts));
  }

  async unplug(): Promise<void> {
    if (!this.#plugged) return;
    this.#plugged = false;
    await rig.run(`${GADGET} down`);
    this.#far.close();
    await rig.node(CDC_PATH, false);
  }
}
