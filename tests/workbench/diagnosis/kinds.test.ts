import { describe, expect, test } from "vitest";
import { compile } from "../../../workbench/diagnosis/compile.js";
import { pointsList } from "../../../workbench/diagnosis/points-list.js";
import { indices } from "../../../workbench/diagnosis/hypotheses.js";
import { predictorOf } from "../../../workbench/diagnosis/power-path.js";
import { distribution } from "../../../workbench/diagnosis/sighting.js";
import { readCase } from "../../../workbench/diagnosis/readings-file.js";
import { report } from "../../../workbench/diagnosis/report.js";
import { KINDS, modelOf } from "../../../workbench/models/kinds.js";

function tool(kind: string) {
  const model = modelOf(kind, {});
  expect(model).not.toBeNull();
  return model!;
}

describe.each(KINDS)("the model of %s", (kind) => {
  const model = tool(kind);
  const points = model.points.map((point) => point.id);

  test("names only what it has", () => {
    expect(() => compile(model)).not.toThrow();
    const conditions = model.conditions.map((one) => one.id);
    const parts = model.parts.map((part) => part.id);
    for (const probe of model.probes) {
      expect(points).toContain(probe.red);
      expect(points).toContain(probe.black);
      expect(conditions).toContain(probe.condition);
    }
    for (const point of model.points)
      if (point.after !== null) expect(parts).toContain(point.after);
    for (const sighting of model.sightings) {
      expect(conditions).toContain(sighting.condition);
      for (const { part, mode, p } of sighting.overrides) {
        const modes = model.parts.find((one) => one.id === part)?.modes.map((one) => one.id) ?? [];
        expect(parts, sighting.id).toContain(part);
        if (part !== "gear-train") expect(modes).toContain(mode);
        expect(Object.values(p).reduce((a, b) => a + b, 0)).toBeCloseTo(1, 6);
      }
    }
  });

  test("its example is accepted and answered", () => {
    const given = readCase(pointsList(model).example);
    const found = report(given.model, given.observations);
    expect(found.candidates.length).toBeGreaterThan(0);
    const total = found.candidates.reduce((sum, one) => sum + one.odds, 0);
    expect(total).toBeLessThanOrEqual(1.001);
  });

  test("every fault changes some measurement or look", () => {
    const predictor = predictorOf(model);
    const conditions = new Map(model.conditions.map((one) => [one.id, one.condition]));
    for (const single of predictor.singles.filter((one) => one.faults.length === 1)) {
      // The sound tool that is built in the same manner.
      const healthy = predictor.singles.find(
        ({ faults, manners }) =>
          faults.length === 0 && indices(manners) === indices(single.manners),
      );
      const measured = model.probes.some((probe) => {
        const target = { ...probe, condition: conditions.get(probe.condition)! };
        const [sound, faulty] = [healthy!, single].map(
          (one) => predictor.predict(target, one).mean,
        );
        return Math.abs(sound! - faulty!) > 0.01 * Math.max(Math.abs(sound!), 0.1);
      });
      const seen = model.sightings.some((sighting) => {
        const [sound, faulty] = [healthy!, single].map((one) =>
          JSON.stringify(distribution(predictor, one, sighting)),
        );
        return sound !== faulty;
      });
      const { part, mode } = single.faults[0]!;
      expect(measured || seen, `${model.parts[part]!.id} ${mode.id}`).toBe(true);
    }
  });
});

const R = (red: string, black: string, condition: string, value: number | null, unit: string) => ({
  red,
  black,
  condition,
  value,
  unit,
});

test("brushless: one phase open at the controller, sound at the motor, is its lead", () => {
  const given = readCase({
    kind: "cordless-brushless",
    readings: [
      R("pack-plus", "pack-minus", "pack-out", 19.8, "V"),
      R("phase-u", "phase-v", "pack-out", null, "Ω"),
      R("phase-v", "phase-w", "pack-out", 0.4, "Ω"),
      R("phase-w", "phase-u", "pack-out", null, "Ω"),
      R("motor-u", "motor-v", "pack-out", 0.4, "Ω"),
    ],
  });
  expect(report(given.model, given.observations).candidates[0]?.parts).toEqual(["phase-leads"]);
});

test("pack: one tap low at rest is that cell group; a group that sinks on the load is weak", () => {
  const rest = (n: number, volt: number) =>
    R(`tap-${n}`, `tap-${n - 1}`, "pack-at-rest", volt, "V");
  const dead = readCase({ kind: "pack", readings: [rest(1, 3.9), rest(2, 3.9), rest(3, 1.1)] });
  expect(report(dead.model, dead.observations).candidates[0]?.parts).toEqual(["cell-group-3"]);
  const weak = readCase({
    kind: "pack",
    readings: [
      R("pack-plus", "pack-minus", "pack-at-rest", 19.6, "V"),
      R("pack-plus", "pack-minus", "pack-on-load", 16.1, "V"),
      R("tap-1", "tap-0", "pack-on-load", 3.85, "V"),
      R("tap-2", "tap-1", "pack-on-load", 1.2, "V"),
    ],
  });
  expect(report(weak.model, weak.observations).candidates[0]?.parts).toEqual(["cell-group-2"]);
});

test("charger: no output and an open fuse", () => {
  const given = readCase({
    kind: "charger",
    tool: { charger: "always-live" },
    readings: [
      R("charger-plus", "charger-minus", "charger-empty", 0, "V"),
      R("plug-live", "board-live", "unplugged", 0.2, "Ω"),
      R("plug-neutral", "board-neutral", "unplugged", 0.2, "Ω"),
      R("board-live", "fuse-out", "unplugged", null, "Ω"),
    ],
  });
  expect(report(given.model, given.observations).candidates[0]?.parts).toEqual(["fuse"]);
});

test("corded: cord and field sound, open through the brushes, armature sound", () => {
  const given = readCase({
    kind: "corded-universal",
    readings: [
      R("plug-live", "plug-neutral", "unplugged-squeezed", null, "Ω"),
      R("plug-live", "switch-in-live", "unplugged", 0.3, "Ω"),
      R("brush-a", "brush-b", "unplugged", null, "Ω"),
      R("commutator-a", "commutator-b", "unplugged", 2.1, "Ω"),
    ],
  });
  expect(report(given.model, given.observations).candidates[0]?.parts).toEqual(["brushes"]);
});
