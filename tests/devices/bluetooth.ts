import { rig } from "./rig.js";
import type { GuestJob } from "./guest-job.js";

/** The program has the second of the two virtual controllers. */
export const OUR_ADAPTER = "NOBLE_HCI_DEVICE_ID=1";

const BLUEZ =
  "dbus-send --system --print-reply --dest=org.bluez / org.freedesktop.DBus.ObjectManager.GetManagedObjects";

/** On a busy computer the emulated controller can miss the kernel's own deadline: then once more. */
const SWITCH_ON = `
  for turn in 1 2 3 4; do
    /bin/bash /opt/rig/ble_start.sh
    for i in $(seq 1 20); do ${BLUEZ} | grep -q hci0 && exit 0; sleep 0.5; done
    kill $(pgrep -x bluetoothd) $(pgrep -x btvirt); sleep 1
  done
  exit 1`;

export const bluetooth = {
  on: (): Promise<void> => rig.run(SWITCH_ON, 120_000),

  /** Both controllers vanish: the computer's own and the meter's. */
  off: (): Promise<void> => rig.run("kill $(pgrep -x bluetoothd) $(pgrep -x btvirt); sleep 1"),

  /** A meter that advertises and sends notifications. */
  async meter(options: string): Promise<GuestJob> {
    const meter = rig.launch(`exec /usr/bin/python3 /opt/rig/gatt_meter.py hci0 ${options}`);
    await meter.line((each) => each["event"] === "advertising", 60_000);
    return meter;
  },

  /** The meter ends the link in good order (reason 19: the far end's user). */
  hangUp: (): Promise<void> =>
    rig.run(
      "hcitool -i hci0 ledc $(hcitool -i hci0 con | grep -o 'handle [0-9]*' | cut -d' ' -f2) 19",
    ),

  /** The meter's radio is gone without a word. */
  silence: (): Promise<void> => rig.run("hciconfig hci0 down"),
};
