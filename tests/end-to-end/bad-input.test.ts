import { execFileSync } from "node:child_process";
import {
  appendFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  rmSync,
  statfsSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readJob } from "../../workbench/job/read-job.js";
import { Child, inRepo, leadhand, ptyPair } from "./processes.js";

/** What can go wrong at the start of a run: each ends in a clear error with its code. */

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "leadhand-bad-"));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const practice = "practice:cordless-brushed?seed=5&pace=at-once";

async function runWith(meter: string, job: string, ...more: string[]) {
  const args = ["run", "--plan", "cordless-brushed", "--meter", meter, "--job", job, ...more];
  const child = leadhand(args);
  return { status: await child.exited, errors: child.errors, lines: child.lines };
}

describe("a run that cannot begin", () => {
  it("says that the port is not there, and leaves nothing in the way of the next try", async () => {
    const job = join(folder, "no-port");
    const { status, errors } = await runWith("serial:/dev/ttyNOPE?protocol=segment-14", job);
    expect(status).toBe(3);
    expect(errors).toMatch(/There is no port \/dev\/ttyNOPE.*\[meter\/absent\]/);
    expect(existsSync(job)).toBe(false);
  });

  it("refuses an unknown protocol with the nearest one", async () => {
    const { status, errors } = await runWith(
      "serial:/dev/ttyS0?protocol=segmnt-14",
      join(folder, "p"),
    );
    expect(status).toBe(2);
    expect(errors).toMatch(/Did you mean segment-14\? \[usage\/unknown-protocol\]/);
  });

  it("names file, JSON path and what is expected of a plan with an error", async () => {
    const file = join(folder, "plan.json");
    writeFileSync(
      file,
      JSON.stringify({ format: "leadhand-plan", version: 1, id: "x", title: "t" }),
    );
    const child = leadhand([
      "run",
      "--plan",
      file,
      "--meter",
      practice,
      "--job",
      join(folder, "q"),
    ]);
    expect(await child.exited).toBe(2);
    expect(child.errors).toContain(file);
    expect(child.errors).toMatch(/\$\.steps: .*expected.*\[plan\/shape\]|\$\.revision: .*expected/);
  });

  it("refuses a folder that holds something else, and touches nothing in it", async () => {
    const job = join(folder, "mine");
    mkdirSync(job);
    writeFileSync(join(job, "notes.txt"), "mine");
    const { status, errors } = await runWith(practice, job);
    expect(status).toBe(2);
    expect(errors).toMatch(/notes\.txt.*\[job\/not-empty\]/);
  });

  it("refuses a second start on the same job while the first one runs", async () => {
    const job = join(folder, "twice");
    const args = ["--plan", "cordless-brushed", "--meter", "practice:cordless-brushed?seed=5"];
    const first = leadhand(["run", ...args, "--job", job, "--json"]);
    await first.until(({ lines }) => lines.some((line) => line.includes('"live"')));
    const second = await runWith(practice, job);
    expect(second.status).toBe(2);
    expect(second.errors).toMatch(/\[job\/(in-use|exists)\]/);
    await first.stop();
    expect((await readJob(job)).damage).toEqual([]);
  });
});

describe("a line that brings bytes and no reading", () => {
  it("says so, and names the protocol that fits", { timeout: 60_000 }, async () => {
    const pty = await ptyPair();
    const player = inRepo("tests/end-to-end/players/segment-player.mjs");
    const meter = new Child(process.execPath, [player, pty.far]);
    const line = Buffer.from("+12.345 VDC\r\n+12.346 VDC\r\n").toString("hex");
    meter.tell({ raw: line });
    const address = `serial:${pty.near}?protocol=segment-14&baud=2400`;
    const job = join(folder, "garbled");
    const program = leadhand([
      "run",
      "--plan",
      "cordless-brushed",
      "--meter",
      address,
      "--job",
      job,
      "--json",
    ]);
    const told = await program.until(({ lines }) =>
      lines.find((each) => each.includes('"unreadable"')),
    );
    expect(told).toMatch(/ascii-line/);
    await program.stop();
    await meter.stop();
    await pty.close();
  });
});

describe("a disk that is full", () => {
  const mount = join(tmpdir(), `leadhand-small-${process.pid}`);
  const mounted = mountSmall(mount);
  afterAll(() => {
    if (mounted) execFileSync("umount", [mount]);
    rmSync(mount, { recursive: true, force: true });
  });

  it(
    "ends the run with what to do, and everything told as recorded is there",
    { timeout: 60_000 },
    async ({ skip }) => {
      if (!mounted) {
        console.log("skipped: mounting a small tmpfs needs root on Linux");
        skip();
      }
      const room = statfsSync(mount);
      const job = join(mount, "job");
      const filler = join(mount, "filler");
      const spare = 50 * 1024;
      appendFileSync(filler, Buffer.alloc(room.bavail * room.bsize - spare));
      const { status, errors, lines } = await runWith(practice, job, "--json");
      expect(status).toBe(2);
      expect(errors).toMatch(/full.*\[job\/disk-full\]/);
      const told = lines.filter((line) => line.includes('"event":"step"'));
      const recorded = (await readJob(job)).lines.filter(({ event }) => event.kind === "step");
      expect(recorded.length).toBeGreaterThanOrEqual(told.length);
    },
  );
});

function mountSmall(place: string): boolean {
  try {
    mkdirSync(place);
    execFileSync("mount", ["-t", "tmpfs", "-o", "size=1m", "tmpfs", place], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
}
