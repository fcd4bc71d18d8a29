import { expect, test } from "vitest";
import { until } from "./guest-job.js";
import type { GuestJob } from "./guest-job.js";
import { onRig } from "./on-rig.js";
import { RemoteLinks, listen } from "./remote-link.js";
import { rig } from "./rig.js";
import { SessionJob } from "./session-job.js";

const line = { baud: 9600, frame: "8n1", dtr: true, rts: false } as const;
const PATH = "/dev/usbtmc0";

async function instrument(): Promise<GuestJob> {
  const gadget = rig.launch("exec /usr/bin/python3 /opt/rig/usbtmc_gadget.py");
  await gadget.line((each) => each["event"] === "bound", 60_000);
  await rig.node(PATH, true);
  return gadget;
}

onRig("USBTMC", 0, () => {
  test("a query, an answer in pieces, unplugged, a fresh link", async () => {
    const links = new RemoteLinks();
    for (let turn = 0; turn < 2; turn += 1) {
      const gadget = await instrument();
      const heard = listen(links.make(`usbtmc:${PATH}`, line));
      const text = (): string => Buffer.concat(heard.chunks).toString("latin1");
      await heard.link.open();
      await heard.link.write(Buffer.from("*IDN?\n"));
      await until(() => text().endsWith("\n"));
      expect(text()).toBe("RIG,USBTMC,RIGTMC01,1.0\n");
      await heard.link.write(Buffer.from("BLOCK? 20000\n"));
      await until(() => text().length >= 24 + 20_012);
      expect(text().slice(24, 35)).toBe("#9000020000");
      gadget.close();
      await until(() => heard.closings.length > 0);
      expect(heard.closings).toMatchObject([
        { by: "unplugged", error: { code: "meter/unplugged" } },
      ]);
      await heard.link.close();
    }
    await expect(links.make(`usbtmc:${PATH}`, line).open()).rejects.toMatchObject({
      code: "meter/absent",
    });
    links.close();
  });

  test("an instrument that is asked: live, lost when unplugged, live again by itself", async () => {
    let gadget = await instrument();
    const session = new SessionJob(`usbtmc:${PATH}?interval_s=0.2`);
    await session.state("live");
    const reading = await session.job.line((each) => each["kind"] === "reading");
    expect(reading["reading"]).toMatchObject({ quantity: "voltage", coupling: "dc", unit: "V" });
    const lost = session.watch("lost");
    gadget.close();
    await lost();
    const live = session.watch("live");
    gadget = await instrument();
    await live();
    session.close();
    gadget.close();
  });
});
