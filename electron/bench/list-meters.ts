import { practiceAddress } from "./options.js";

interface ListedMeter {
  readonly address: string;
  readonly title: string;
  readonly note: string;
}

/** Meters that a window can offer: the practice bench, and the serial ports that are here now. */
export async function listMeters(): Promise<ListedMeter[]> {
  return [
    {
      address: practiceAddress("cordless-brushed", ["any"], undefined),
      title: "Practice bench",
      note: "A simulated tool with a hidden fault; no meter needed",
    },
    ...(await serialPorts()),
  ];
}

/** A missing serialport costs its own list only. */
async function serialPorts(): Promise<ListedMeter[]> {
  try {
    const { SerialPort } = await import("serialport");
    const ports = await SerialPort.list();
    return ports.map(({ path, manufacturer, serialNumber }) => ({
      address: `serial:${path}?protocol=segment-14`,
      title: path,
      note: [manufacturer, serialNumber].filter(Boolean).join(", "),
    }));
  } catch {
    return [];
  }
}
