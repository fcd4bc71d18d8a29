import { LeadhandError } from "../../protocols/error.js";

/** What the operating system says about a device node. */
export interface NodeOwner {
  /** Name of the owning group, or its number where the name is not known. */
  readonly group: string;
  /** Whether the group may read and write. */
  readonly groupMayUse: boolean;
}

/** Turns what opening a port said into what a technician can do about it. */
export function openTrouble(path: string, message: string, owner: NodeOwner | null): LeadhandError {
  if (/no such|not found|cannot find|ENOENT/i.test(message)) return absent(path, message);
  if (/permission denied|EACCES|EPERM|not permitted/i.test(message)) return denied(path, owner);
  if (/busy|cannot lock|access denied|temporarily unavailable/i.test(message)) {
    return busy(path, message);
  }
  if (/baud rate|baudrate/i.test(message)) return badSpeed(path, message);
  return new LeadhandError("meter/port", {
    what: `The port ${path} could not be opened: ${message}.`,
    action: "Unplug the cable, plug it in again; if that does not help, try another USB socket.",
  });
}

/** One of the packages that bring a native part does not load; it costs its own kind of link only. */
export function missingPackage(
  kind: "serial" | "hid" | "ble",
  packageName: string,
  cause: unknown,
): LeadhandError {
  const what = { serial: "Serial ports", hid: "HID cables", ble: "Bluetooth" }[kind];
  return new LeadhandError(`meter/no-${kind}`, {
    what: `${what} cannot be used: the ${packageName} package does not load on this computer.`,
    action:
      "Where the program was built, install a C++ compiler, make and Python, and run npm ci again; other kinds of meter still work.",
    cause,
  });
}

export function absent(path: string, cause: unknown): LeadhandError {
  return new LeadhandError("meter/absent", {
    what: `There is no port ${path} on this computer now.`,
    action: 'Plug the meter\'s cable in; "leadhand meters" lists the ports that are here.',
    cause,
  });
}

export function unplugged(path: string, cause?: unknown): LeadhandError {
  return new LeadhandError("meter/unplugged", {
    what: `The cable at ${path} was unplugged, or its adapter dropped out.`,
    action: "Plug it in again; the job goes on by itself.",
    cause,
  });
}

function busy(path: string, cause: unknown): LeadhandError {
  return new LeadhandError("meter/busy", {
    what: `Another program has the port ${path} open.`,
    action: "Close that program; the meter is tried again by itself.",
    cause,
  });
}

function badSpeed(path: string, message: string): LeadhandError {
  return new LeadhandError("meter/line", {
    what: `The port ${path} cannot be set to this speed: ${message}.`,
    action: "Give a usual baud rate in the meter address, such as baud=2400 or baud=9600.",
  });
}

/** Never "use sudo": a right that is given once, to the person, for this kind of device. */
function denied(path: string, owner: NodeOwner | null): LeadhandError {
  const whose = owner === null ? "" : `; it belongs to the group "${owner.group}"`;
  const join =
    owner !== null && owner.groupMayUse && owner.group !== "root"
      ? `Join that group (usermod -aG ${owner.group} YOUR-NAME, by an administrator; then log in again), or install`
      : "Have an administrator install";
  return new LeadhandError("meter/denied", {
    what: `This account may not use the port ${path}${whose}.`,
    action: `${join} this udev rule as ${RULE_FILE}: ${ruleFor(path)}`,
  });
}

const RULE_FILE = "/etc/udev/rules.d/70-leadhand.rules";

/** One rule line that gives the person at the seat the right to the kind of device at `path`. */
function ruleFor(path: string): string {
  const name = path.slice(path.lastIndexOf("/") + 1).replace(/\d+$/, "*");
  return `SUBSYSTEM=="${subsystemOf(name)}", KERNEL=="${name}", TAG+="uaccess"`;
}

function subsystemOf(name: string): string {
  if (name.startsWith("hidraw")) return "hidraw";
  return name.startsWith("usbtmc") ? "usbmisc" : "tty";
}
