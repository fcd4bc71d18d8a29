import { describe, expect, test } from "vitest";
import {
  entropyBits,
  expectedInformationBits,
} from "../../../workbench/diagnosis/core/information.js";
import {
  minimalCandidates,
  minimalHittingSets,
  minimalSets,
} from "../../../workbench/diagnosis/core/sets.js";
import { checkData } from "../measurement/check-data.js";

/** Sets compared without regard to order. */
function sorted(sets: readonly (readonly string[])[]): string[] {
  return sets.map((set) => [...set].sort().join(" ")).sort();
}

interface Polybox {
  readonly components: Readonly<Record<string, string>>;
  readonly minimalConflicts: string[][];
  readonly minimalCandidates: string[][];
  readonly computedByHelper_notPublished: {
    readonly consistentCandidates: number;
    readonly posteriorEntropyBits: number;
    readonly topCandidates: readonly { faulty: string; posterior: number }[];
    readonly probeOutcomeDistributions: Readonly<Record<string, { entropyBits: number }>>;
    readonly bestProbe: string;
  };
}

/**
 * De Kleer & Williams, "Diagnosing Multiple Faults", Artificial Intelligence 32 (1987) 97-130:
 * three multipliers, two adders, A=3 B=2 C=2 D=3 E=3, observed F=10 and G=12.
 */
const polybox = checkData("polybox.json") as Polybox | null;
const SOUND: Readonly<Record<string, (v: { X: number; Y: number; Z: number }) => boolean>> = {
  M1: ({ X }) => X === 6,
  M2: ({ Y }) => Y === 6,
  M3: ({ Z }) => Z === 6,
  A1: ({ X, Y }) => X + Y === 10,
  A2: ({ Y, Z }) => Y + Z === 12,
};
const COMPONENTS = ["A1", "A2", "M1", "M2", "M3"];
const DOMAIN = Array.from({ length: 25 }, (_, i) => i - 2);

/** All inner values that are possible when the given components are faulty. */
function worlds(faulty: readonly string[]): { X: number; Y: number; Z: number }[] {
  const sound = COMPONENTS.filter((one) => !faulty.includes(one));
  return DOMAIN.flatMap((X) => DOMAIN.flatMap((Y) => DOMAIN.map((Z) => ({ X, Y, Z })))).filter(
    (world) => sound.every((one) => SOUND[one]!(world)),
  );
}

describe.skipIf(polybox === null)("the polybox", () => {
  const published = polybox!;
  const candidates = minimalCandidates(COMPONENTS, (set) => worlds(set).length > 0, 5);

  test("has the published minimal candidates", () => {
    expect(sorted(candidates)).toEqual(sorted(published.minimalCandidates));
  });

  test("has the published conflicts, which are the hitting sets of the candidates", () => {
    expect(sorted(minimalHittingSets(candidates))).toEqual(sorted(published.minimalConflicts));
    expect(sorted(minimalHittingSets(published.minimalConflicts))).toEqual(sorted(candidates));
  });

  test("gives the posterior of every candidate and names X as the next best probe", () => {
    const { topCandidates, probeOutcomeDistributions, ...expected } =
      published.computedByHelper_notPublished;
    const all = subsets(COMPONENTS)
      .map((faulty) => ({ faulty, worlds: worlds(faulty) }))
      .filter((one) => one.worlds.length > 0);
    expect(all).toHaveLength(expected.consistentCandidates);
    const weights = all.map(({ faulty }) => 0.01 ** faulty.length * 0.99 ** (5 - faulty.length));
    const total = weights.reduce((a, b) => a + b, 0);
    const posterior = weights.map((weight) => weight / total);
    expect(entropyBits(posterior)).toBeCloseTo(expected.posteriorEntropyBits, 9);
    for (const { faulty, posterior: stated } of topCandidates) {
      const index = all.findIndex((one) => one.faulty.join("+") === faulty);
      expect(posterior[index]).toBeCloseTo(stated, 9);
    }
    const told = (["X", "Y", "Z"] as const).map((probe) => {
      const values = [...DOMAIN, Number.NaN];
      const joint = all.map((one, i) => {
        const possible = [...new Set(one.worlds.map((world) => world[probe]))];
        const value = possible.length === 1 ? possible[0]! : Number.NaN;
        return values.map((v) => (Object.is(v, value) ? posterior[i]! : 0));
      });
      const bits = expectedInformationBits(joint);
      expect(bits).toBeCloseTo(probeOutcomeDistributions[probe]!.entropyBits, 6);
      return { probe, bits };
    });
    const best = told.reduce((a, b) => (b.bits > a.bits ? b : a));
    expect(best.probe).toBe(expected.bestProbe);
  });
});

function subsets(items: readonly string[]): string[][] {
  return items.reduce<string[][]>(
    (all, item) => [...all, ...all.map((set) => [...set, item])],
    [[]],
  );
}

test("the full adder of Reiter (1987): inputs 1, 0 and carry 1, observed sum 1 and carry 0", () => {
  // "A Theory of Diagnosis from First Principles", Artificial Intelligence 32, 57-95: diagnoses
  // {X1}, {X2, O1}, {X2, A2} (from memory; the enumeration below is independent of it).
  const gates = ["X1", "X2", "A1", "A2", "O1"];
  const bits = [0, 1];
  const consistent = (faulty: readonly string[]): boolean =>
    bits.some((x1) =>
      bits.some((a1) =>
        bits.some((a2) => {
          const holds = {
            X1: x1 === (1 ^ 0),
            X2: 1 === (x1 ^ 1),
            A1: a1 === (1 & 0),
            A2: a2 === (x1 & 1),
            O1: 0 === (a1 | a2),
          } as Readonly<Record<string, boolean>>;
          return gates.every((gate) => faulty.includes(gate) || holds[gate] === true);
        }),
      ),
    );
  const found = minimalCandidates(gates, consistent, 5);
  expect(sorted(found)).toEqual(sorted([["X1"], ["X2", "O1"], ["X2", "A2"]]));
  expect(sorted(minimalHittingSets(found))).toEqual(
    sorted([
      ["X1", "X2"],
      ["X1", "A2", "O1"],
    ]),
  );
});

test("minimal sets keep what contains no other", () => {
  expect(minimalSets([["a", "b"], ["b"], ["a", "c"], ["b", "c"]])).toEqual([["b"], ["a", "c"]]);
});

test("an outcome that is the same for all hypotheses tells nothing, a decisive one everything", () => {
  expect(
    expectedInformationBits([
      [0.25, 0.25],
      [0.25, 0.25],
    ]),
  ).toBeCloseTo(0, 12);
  expect(
    expectedInformationBits([
      [0.5, 0],
      [0, 0.5],
    ]),
  ).toBeCloseTo(1, 12);
});
