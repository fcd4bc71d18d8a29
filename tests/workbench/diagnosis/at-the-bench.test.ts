import { describe, expect, test } from "vitest";
import "../patience.js";
import { diagnose } from "./written-case.js";
import type { Case, Line } from "./written-case.js";

/**
 * Jotted down with few readings, as they come at a bench: common practice, no source. Leads of a
 * few tenths of an ohm are in every resistance.
 */
interface Jotted extends Case {
  /** Parts of the first candidate; none: nothing is at fault. */
  readonly first: readonly string[];
  readonly mode?: string;
  /** Odds that an experienced technician would not find absurd. */
  readonly odds: readonly [least: number, most: number];
  readonly cleared?: readonly string[];
}

const FULL: Line = ["pack", "pack-out", 20.1];
const DEAD = { "motor-turns": "no" };
const RUNS = { "motor-turns": "yes", "chuck-turns": "yes" };
const electronic = { kind: "cordless-brushed-electronic", tool: { nominal_V: 18 } };
const brushless = { kind: "cordless-brushless", tool: { nominal_V: 18 } };
const charger = { kind: "charger", tool: { nominal_V: 18, charger: "always-live" as const } };
const pack = { kind: "pack", tool: { nominal_V: 18, cells: 5 } };
const corded = { kind: "corded-universal", tool: { nominal_V: 230 } };

/** Taps from the bottom of the stack upwards, at rest. */
const taps = (...volts: number[]): Line[] =>
  volts.map((volt, i) => [`tap-${i + 1} tap-${i}`, "pack-at-rest", volt]);

const jotted: Readonly<Record<string, Jotted>> = {
  "nothing but: the motor turns, the chuck does not": {
    seen: { "motor-turns": "yes", "chuck-turns": "no" },
    first: ["gear-train"],
    mode: "slipping",
    odds: [0.6, 0.97],
    cleared: ["lead-red", "lead-black"],
  },
  "nothing but: dead, and the shaft stiff by hand": {
    seen: { ...DEAD, "shaft-turns-by-hand": false },
    first: ["gear-train"],
    mode: "jam",
    odds: [0.35, 0.8],
  },
  "a pack that shows nothing, proved": {
    readings: [["pack", "pack-out", 0]],
    seen: DEAD,
    first: ["pack"],
    odds: [0.6, 0.95],
  },
  "a pack at 2.8 V a cell in a dead drill is flat, not asleep": {
    readings: [["pack", "pack-out", 14.1]],
    seen: DEAD,
    first: ["pack"],
    mode: "flat",
    odds: [0.5, 0.95],
  },
  "a pack that shows 0.3 V and comes back on the charger was asleep": {
    readings: [
      ["charger", "charger-empty", 20.8],
      ["pack", "pack-out", 0.3],
      ["charger", "charger-with-pack", 19.4],
    ],
    seen: DEAD,
    first: ["pack"],
    mode: "asleep",
    odds: [0.6, 0.95],
    cleared: ["charger"],
  },
  "a dead charger and the flat pack it leaves": {
    readings: [
      ["charger", "charger-empty", 0],
      ["pack", "pack-out", 13.2],
    ],
    seen: DEAD,
    first: ["charger", "pack"],
    odds: [0.5, 0.95],
  },
  "a pack that sinks from 19.8 to 11 V at the squeeze": {
    readings: [
      ["pack", "pack-out", 19.8],
      ["pack", "squeezed", [19.8, 12.5, 11.2, 11, 11.1]],
    ],
    seen: { "motor-turns": "slowly" },
    first: ["pack"],
    mode: "weak",
    odds: [0.7, 0.98],
    cleared: ["lead-red", "lead-black"],
  },
  "dead with its own pack, alive with a known good one": {
    readings: [FULL],
    seen: { ...DEAD, "motor-turns-known-pack": "yes", "chuck-turns-known-pack": "yes" },
    first: ["pack"],
    odds: [0.6, 0.95],
    cleared: ["gear-train", "lead-red", "lead-black"],
  },
  "burnt terminals": {
    readings: [
      ["pack", "squeezed", 19.5],
      ["terminals", "squeezed", 11.3],
    ],
    seen: { "motor-turns": "slowly" },
    first: ["terminals"],
    odds: [0.7, 0.97],
    cleared: ["pack"],
  },
  "volts at the brushes, open through them, and one brush that has no contact": {
    readings: [
      ["motor", "squeezed", 19.6],
      ["motor", "pack-out", null, "ohm"],
      ["brush-a commutator-a", "pack-out", 0.3, "ohm"],
      ["brush-b commutator-b", "pack-out", null, "ohm"],
    ],
    seen: DEAD,
    first: ["brushes"],
    mode: "open",
    odds: [0.8, 0.99],
  },
  "switch and red lead, the first hiding the second": {
    readings: [
      ["pack", "squeezed", 19.9],
      ["switch in", "squeezed", 19.8],
      ["switch out", "squeezed", 0],
      ["switch", "pack-out-squeezed", null, "ohm"],
      ["red lead", "pack-out", null, "ohm"],
      ["black lead", "pack-out", 0.2, "ohm"],
    ],
    seen: DEAD,
    first: ["switch", "lead-red"],
    odds: [0.6, 0.95],
    cleared: ["lead-black"],
  },
  "a switch that drops eleven volts by ohms": {
    readings: [
      ["pack", "pack-out", 19.7],
      ["switch", "pack-out-squeezed", 5.2, "ohm"],
    ],
    seen: { "motor-turns": "slowly" },
    first: ["switch"],
    mode: "high-resistance",
    odds: [0.6, 0.95],
  },
  "reversed leads twice": {
    readings: [
      ["pack", "pack-out", -19.8],
      ["switch in", "squeezed", -19.5],
      ["switch out", "squeezed", 0],
    ],
    seen: DEAD,
    first: ["switch"],
    odds: [0.7, 0.97],
  },
  "three cells": {
    tool: { nominal_V: 10.8, cells: 3 },
    readings: [
      ["pack", "pack-out", 12.4],
      ["switch in", "squeezed", 12.2],
      ["switch out", "squeezed", 0],
    ],
    seen: DEAD,
    first: ["switch"],
    odds: [0.7, 0.97],
  },
  "ten cells, one of them gone": {
    tool: { nominal_V: 36, cells: 10 },
    readings: [
      ["pack", "pack-out", 36.2],
      ["pack", "squeezed", [36.2, 24, 22, 21.8]],
    ],
    seen: { "motor-turns": "slowly" },
    first: ["pack"],
    mode: "weak",
    odds: [0.8, 0.99],
  },
  "a healthy drill with a small sag": {
    readings: [
      ["charger", "charger-empty", 20.9],
      ["pack", "pack-out", 20.2],
      ["pack", "squeezed", [20.2, 19.4, 19.5, 19.5]],
    ],
    seen: RUNS,
    first: [],
    odds: [0.6, 0.95],
    cleared: ["charger", "pack", "lead-red", "lead-black", "gear-train"],
  },
  "electronic trigger: supply in, nothing out": {
    ...electronic,
    readings: [
      ["switch in", "squeezed", 19.7],
      ["switch out", "squeezed", 0.02],
    ],
    seen: DEAD,
    first: ["switch"],
    odds: [0.7, 0.97],
  },
  "electronic trigger: full volts at the brushes, and it stands": {
    ...electronic,
    readings: [
      ["switch out", "squeezed", 19.5],
      ["motor", "squeezed", 19.5],
    ],
    seen: DEAD,
    first: ["brushes"],
    odds: [0.5, 0.9],
  },
  "brushless: a burnt-through bridge": {
    ...brushless,
    readings: [["controller", "pack-out", 0.3, "ohm"]],
    seen: DEAD,
    first: ["controller"],
    mode: "short",
    odds: [0.6, 0.95],
  },
  "brushless: a trigger without contact": {
    ...brushless,
    readings: [
      ["controller", "squeezed", 19.5],
      ["trigger", "pack-out-squeezed", null, "ohm"],
    ],
    seen: DEAD,
    first: ["trigger"],
    odds: [0.7, 0.97],
  },
  "brushless: one winding burnt open": {
    ...brushless,
    readings: [
      ["motor-u motor-v", "pack-out", null, "ohm"],
      ["motor-v motor-w", "pack-out", 0.3, "ohm"],
      ["motor-w motor-u", "pack-out", null, "ohm"],
    ],
    seen: { "motor-turns": "jerks" },
    first: ["motor"],
    mode: "open",
    odds: [0.7, 0.97],
  },
  "charger: 8 V are too little, and say that mains and fuse are there": {
    ...charger,
    readings: [["charger", "charger-empty", 8.2]],
    first: ["converter"],
    mode: "weak",
    odds: [0.8, 0.99],
    cleared: ["mains-cord", "fuse"],
  },
  "charger silent without a pack: the pack's own volts are no charge": {
    ...charger,
    tool: { nominal_V: 18, charger: "silent-without-pack" },
    readings: [
      ["charger", "charger-empty", 0],
      ["charger", "charger-with-pack", 17.1],
    ],
    first: ["converter"],
    odds: [0.2, 0.6],
  },
  "pack: nothing outside, all of it inside: asleep, before anything is broken": {
    ...pack,
    readings: [
      ["pack", "pack-at-rest", 0],
      ["tap-5 tap-0", "pack-at-rest", 19.6],
    ],
    first: ["charge"],
    mode: "asleep",
    odds: [0.3, 0.75],
  },
  "pack: one group at one volt": {
    ...pack,
    readings: [["pack", "pack-at-rest", 16.9], ...taps(3.92, 3.93, 1.12, 3.91, 3.92)],
    first: ["cell-group-3"],
    mode: "dead",
    odds: [0.8, 0.99],
    cleared: ["charge", "protection"],
  },
  "pack: all groups alike at 2.8 V are flat, not five dead groups": {
    ...pack,
    readings: [["pack", "pack-at-rest", 14], ...taps(2.8, 2.79, 2.81, 2.8, 2.8)],
    first: ["charge"],
    mode: "flat",
    odds: [0.7, 0.97],
  },
  "pack of ten: two groups low, and nothing said of the straps": {
    ...pack,
    tool: { nominal_V: 36, cells: 10 },
    readings: [
      ["pack", "pack-at-rest", 33],
      ...taps(3.7, 3.71, 2, 3.7, 3.7, 3.69, 1.2, 3.7, 3.7, 3.7),
    ],
    first: ["cell-group-3", "cell-group-7"],
    odds: [0.6, 0.97],
  },
  "pack: full, holds its load, thermistor sound": {
    ...pack,
    readings: [
      ["pack", "pack-at-rest", 20.9],
      ["pack", "pack-on-load", 20.3],
      ["thermistor pack-minus", "pack-at-rest", 9.8, "kΩ"],
    ],
    first: [],
    odds: [0.7, 0.99],
    cleared: ["charge", "protection", "thermistor"],
  },
  "corded: current through all of it, a shaft that does not give": {
    ...corded,
    tool: { nominal_V: 110 },
    readings: [["plug", "unplugged-squeezed", 1.9, "ohm"]],
    seen: { ...DEAD, "shaft-turns-by-hand": false },
    first: ["gear-train"],
    mode: "jam",
    odds: [0.4, 0.8],
    // The whole loop conducts; that its field is not shorted it does not say.
    cleared: ["mains-cord", "switch", "leads"],
  },
  "corded: live parts reach the housing": {
    ...corded,
    readings: [
      ["plug-live body", "unplugged-squeezed", 12, "kΩ"],
      ["plug", "unplugged-squeezed", 6, "ohm"],
    ],
    seen: { "motor-turns": "yes" },
    first: ["insulation"],
    odds: [0.9, 1],
    // The whole loop conducts; that its field is not shorted it does not say.
    cleared: ["mains-cord", "switch", "leads"],
  },
  "corded, double insulated or not known: an open earth contact is no fault": {
    ...corded,
    readings: [
      ["plug-earth body", "unplugged", null, "ohm"],
      ["plug", "unplugged-squeezed", 6, "ohm"],
    ],
    seen: RUNS,
    first: [],
    odds: [0.6, 0.95],
  },
  "corded, class 1: an open earth contact is its protective conductor": {
    ...corded,
    tool: { nominal_V: 230, insulation: "class-1" },
    readings: [
      ["plug-earth body", "unplugged", null, "ohm"],
      ["plug", "unplugged-squeezed", 6, "ohm"],
    ],
    seen: RUNS,
    first: ["protective-conductor"],
    odds: [0.8, 0.99],
  },
};

describe("jotted down at the bench", () => {
  test.each(Object.entries(jotted))("%s", (_, one) => {
    const { candidates, cleared } = diagnose(one);
    const [top] = candidates;
    expect(top?.parts).toEqual(one.first);
    if (one.mode !== undefined) expect(top?.faults[0]?.mode).toBe(one.mode);
    expect(top?.odds).toBeGreaterThan(one.odds[0]);
    expect(top?.odds).toBeLessThan(one.odds[1]);
    expect(cleared.map(({ part }) => part)).toEqual(
      expect.arrayContaining([...(one.cleared ?? [])]),
    );
  });
});
