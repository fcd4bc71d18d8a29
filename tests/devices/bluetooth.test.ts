import { afterEach, expect, test } from "vitest";
import { OUR_ADAPTER, bluetooth } from "./bluetooth.js";
import { pause, until } from "./guest-job.js";
import { onRig } from "./on-rig.js";
import { RemoteLinks, listen } from "./remote-link.js";
import { rig } from "./rig.js";
import { SessionJob, rounded } from "./session-job.js";

const line = { baud: 2400, frame: "8n1", dtr: true, rts: false } as const;
/** Notifications of the SIG's Voltage characteristic, 5 a second. */
const VOLTAGE = "--hz 5 --len 4 --notify 2b18";
const ADDRESS = "ble:RIGMETER?protocol=gatt&notify=2b18";

onRig("Bluetooth LE", 0, () => {
  const sessions: SessionJob[] = [];
  const open = (): SessionJob => {
    const session = new SessionJob(ADDRESS, OUR_ADAPTER);
    sessions.push(session);
    return session;
  };
  afterEach(async () => {
    for (const session of sessions.splice(0)) session.close();
    await bluetooth.off();
  });

  test("found by name, subscribed, written to, dropped, connected anew", async () => {
    await bluetooth.on();
    const meter = await bluetooth.meter("--hz 5 --len 14");
    const links = new RemoteLinks(OUR_ADAPTER);
    for (let turn = 0; turn < 2; turn += 1) {
      const heard = listen(links.make("ble:RIGMETER", line));
      await heard.link.open();
      await until(() => heard.chunks.length >= 5);
      expect(new Set(heard.chunks.map((bytes) => bytes.length))).toEqual(new Set([14]));
      await heard.link.write(Uint8Array.of(0xa1, 0xb2 + turn));
      const answered = (bytes: Uint8Array): boolean =>
        bytes[0] === 0xa1 && bytes[1] === 0xb2 + turn;
      await until(() => heard.chunks.some(answered));
      if (turn === 0) {
        await bluetooth.hangUp();
        await until(() => heard.closings.length > 0);
        expect(heard.closings).toMatchObject([{ by: "peer", error: { code: "meter/dropped" } }]);
      }
      await heard.link.close();
    }
    links.close();
    meter.close();
  });

  test("no adapter is said, not waited for; one that comes is used by itself", async () => {
    const session = open();
    await session.state("absent");
    expect(session.states).toEqual(["opening", "absent meter/bluetooth-absent"]);
    const live = session.watch("live");
    await bluetooth.on();
    const meter = await bluetooth.meter(VOLTAGE);
    await live();
    meter.close();
  });

  // The stack tells nothing of it: only the session's own watch does.
  test("a link that goes silent is stale, then lost, and live again by itself", async () => {
    await bluetooth.on();
    const meter = await bluetooth.meter(VOLTAGE);
    const session = open();
    await session.state("live");
    await pause(3_000);
    const [stale, lost] = [session.watch("stale"), session.watch("lost")];
    await bluetooth.silence();
    const stale_ms = await stale();
    console.log(`radio silent → stale, lost, ms: ${rounded([stale_ms, await lost()])}`);
    expect(session.states.slice(-2)).toEqual(["stale meter/stale", "lost meter/quiet"]);
    meter.close();
    const live = session.watch("live");
    await rig.run("hciconfig hci0 up");
    const again = await bluetooth.meter(VOLTAGE);
    console.log(`meter on again → live, ms: ${rounded([await live()])}`);
    again.close();
  });

  test("a program that was killed while connected does not keep the next one out", async () => {
    await bluetooth.on();
    const meter = await bluetooth.meter(VOLTAGE);
    const first = open();
    await first.state("live");
    await rig.run("kill -9 $(pgrep -x node)");
    await until(() => first.job.ended);
    const second = open();
    await second.state("live");
    expect(second.states).toEqual(["opening", "silent", "live"]);
    meter.close();
  });
});
