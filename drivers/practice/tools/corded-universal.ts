import { Brushes } from "../circuit/brush.js";
import { Capacitor, OPEN_OHM, Resistor } from "../circuit/elements.js";
import { Motor } from "../circuit/motor.js";
import { Network } from "../circuit/network.js";
import type { Node } from "../circuit/network.js";
import { chanceOf } from "../random.js";
import { commutator_ohm, wornBrush_ohm } from "./commutator.js";
import { CORDED_FAULTS, healthyCorded } from "./corded-parts.js";
import type { CordedParts } from "./corded-parts.js";
import { addKnownSource } from "./supply.js";
import { described, hide } from "./tool.js";
import type { Tool, ToolKind, ToolState } from "./tool.js";
import { ohms, volts } from "./tour.js";

const POINTS = [
  "plug-live",
  "plug-neutral",
  "plug-earth",
  "switch-in-live",
  "switch-in-neutral",
  "switch-out-live",
  "switch-out-neutral",
  "field-in",
  "field-out",
  "brush-a",
  "brush-b",
  "commutator-a",
  "commutator-b",
  "body",
  "known-plus",
  "known-minus",
];

const JOINT_OHM = 0.005;

export const cordedUniversal: ToolKind = {
  kind: "corded-universal",
  title: "Corded tool, universal motor, unplugged",
  faults: described(CORDED_FAULTS),
  points: POINTS,
  tour: [
    volts("known-plus", "known-minus"),
    ohms("plug-live", "plug-neutral", { trigger: "squeezed" }),
    ohms("plug-live", "switch-in-live", { case: "open" }),
    ohms("field-in", "field-out", { case: "open" }),
    ohms("brush-a", "brush-b", { case: "open" }),
    ohms("plug-live", "body", { case: "open", trigger: "squeezed" }),
  ],
  build: (hidden, seed) =>
    new CordedTool(hide(healthyCorded(chanceOf(seed, "parts")), CORDED_FAULTS, hidden)),
};

/** A corded tool as it lies unplugged on the bench: it is only ever measured dead. */
class CordedTool implements Tool {
  readonly network = new Network();
  readonly points: ReadonlyMap<string, Node>;
  readonly #poles: readonly [Resistor, Resistor];
  readonly #brushes: Brushes;
  readonly #armature: Motor;
  readonly lively = false;
  readonly supply_A = 0;

  constructor(private readonly parts: CordedParts) {
    const { network } = this;
    this.points = new Map(POINTS.map((point) => [point, network.node(point)]));
    addKnownSource(network);
    const { cord, insulation_ohm, earth, bleed_ohm } = parts;
    this.#join("plug-live", "switch-in-live", cord.live_ohm);
    this.#join("plug-neutral", "switch-in-neutral", cord.neutral_ohm);
    this.#join("plug-earth", "body", earth === null ? OPEN_OHM : earth);
    this.#poles = [
      this.#join("switch-in-live", "switch-out-live", OPEN_OHM),
      this.#join("switch-in-neutral", "switch-out-neutral", OPEN_OHM),
    ];
    this.#suppress(bleed_ohm);
    this.#join("switch-out-live", "field-in", JOINT_OHM);
    this.#join("field-in", "field-out", parts.field_ohm);
    this.#join("field-out", "brush-a", JOINT_OHM);
    this.#brushes = network.add(
      new Brushes(network.node("brush-a"), network.node("commutator-a"), parts.brushes),
    );
    this.#armature = network.add(
      new Motor(network.node("commutator-a"), network.node("commutator-b"), parts.armature),
    );
    // Both brushes stand for one contact; the other is a plain joint.
    this.#join("commutator-b", "brush-b", JOINT_OHM);
    this.#join("brush-b", "switch-out-neutral", JOINT_OHM);
    this.#join("commutator-a", "body", insulation_ohm);
  }

  put(state: ToolState): void {
    const { closed_ohm, neutral_ohm } = this.parts.switch;
    this.#poles[0].ohm = state.squeezed ? closed_ohm : OPEN_OHM;
    this.#poles[1].ohm = state.squeezed ? neutral_ohm : OPEN_OHM;
    this.#armature.turnedAt = this.parts.gears.jammed ? 0 : (state.turned ?? 0);
  }

  step(dt_s: number): void {
    const { armature, brushes } = this.parts;
    const { angle } = this.#armature;
    const bars = commutator_ohm(angle, armature.burntBar);
    this.#armature.extra_ohm = armature.open ? OPEN_OHM : bars;
    this.#brushes.extra_ohm = brushes.worn ? wornBrush_ohm(angle) : 0;
    this.network.step(dt_s);
  }

  answer(question: string): string | null {
    const { armature, brushes, earth, gears } = this.parts;
    switch (question) {
      case "earthed":
        return earth === null ? "class-two" : "class-one";
      case "brush-length":
        return brushes.worn ? "worn" : "good";
      case "armature-bars":
        return armature.open || armature.burntBar ? "open" : "alike";
      case "chuck-turn":
        return gears.jammed ? "stuck" : "free";
      default:
        return null;
    }
  }

  /** The capacitor against interference, with the resistor that empties it. */
  #suppress(bleed_ohm: number): void {
    const [live, neutral] = ["switch-in-live", "switch-in-neutral"] as const;
    this.#join(live, neutral, bleed_ohm);
    const { network } = this;
    network.add(new Capacitor(network.node(live), network.node(neutral), 0.22e-6, 1));
  }

  #join(a: string, b: string, ohm: number): Resistor {
    return this.network.add(new Resistor(this.network.node(a), this.network.node(b), ohm));
  }
}
