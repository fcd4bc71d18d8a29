import { LeadhandError } from "../../protocols/error.js";
import { between, together } from "../models/model.js";
import type {
  Effect,
  Element,
  FaultMode,
  Manner,
  Range,
  Spread,
  ToolModel,
  Where,
} from "../models/model.js";

/** An effect with one spread instead of a range: a range is cut into cells, one variant each. */
export interface FixedEffect {
  readonly element: number;
  readonly ohm?: Spread;
  readonly volt?: Spread;
  readonly noLoad_A?: Spread;
  readonly stalled?: true;
  readonly when?: Where;
}

/** One part at fault in one definite way. */
export interface Variant {
  readonly index: number;
  readonly part: number;
  readonly mode: FaultMode;
  readonly effects: readonly FixedEffect[];
  readonly odds: number;
}

export interface CompiledManner {
  readonly index: number;
  readonly manner: Manner;
  readonly effects: readonly FixedEffect[];
  /** Parts that such a tool does not have. */
  readonly without: ReadonlySet<number>;
}

/** A model made ready for reasoning: names resolved to numbers, ranges cut into cells. */
export interface Compiled {
  readonly model: ToolModel;
  readonly nodes: ReadonlyMap<string, number>;
  /** The node of each point; two points may be one node. */
  readonly pointNodes: ReadonlyMap<string, number>;
  readonly elements: readonly (Element & { readonly from: number; readonly to: number })[];
  readonly variants: readonly Variant[];
  readonly manners: readonly CompiledManner[];
}

/** Resistance of an open circuit and of a dead short, ohms. */
const OPEN: Spread = { centre: 2e10, sd: 0.5, scale: "log" };
const SHORT: Spread = { centre: 0.002, sd: 0.5, scale: "log" };
/** Width of one cell of a logarithmic range, in natural-log units (a factor of four). */
const CELL_WIDTH = Math.log(4);

export function compile(model: ToolModel): Compiled {
  const nodes = new Map<string, number>();
  const node = (name: string): number => {
    const known = nodes.get(name) ?? nodes.size;
    nodes.set(name, known);
    return known;
  };
  const pointNodes = new Map(model.points.map(({ id, at }) => [id, node(at ?? id)]));
  const elements = model.elements.map((element) => ({
    ...element,
    from: node(element.a),
    to: node(element.b),
  }));
  const fixEffects = effectFixer(model);
  const variants = model.parts.flatMap((part, index) =>
    part.modes.flatMap((mode) => variantsOf(index, mode, fixEffects)),
  );
  return {
    model,
    nodes,
    pointNodes,
    elements,
    variants: variants.map((variant, index) => ({ ...variant, index })),
    manners: model.manners.map((manner, index) => ({
      index,
      manner,
      effects: fixEffects(manner.effects)[0] ?? [],
      without: new Set(
        (manner.without ?? []).map((id) => model.parts.findIndex((part) => part.id === id)),
      ),
    })),
  };
}

type Fixer = (effects: readonly Effect[]) => FixedEffect[][];

function effectFixer(model: ToolModel): Fixer {
  const ids = new Map(model.elements.map((element, index) => [element.id, index]));
  const fix = (effect: Effect): FixedEffect[] => {
    const element = ids.get(effect.element);
    if (element === undefined) throw unknownElement(model, effect.element);
    return cells(effect, element);
  };
  return (effects) => product(effects.map(fix));
}

function variantsOf(part: number, mode: FaultMode, fix: Fixer): Omit<Variant, "index">[] {
  const ways = mode.ways.map(fix);
  return ways.flatMap((cellsOfWay) =>
    cellsOfWay.map((effects) => ({
      part,
      mode,
      effects,
      odds: mode.odds / ways.length / cellsOfWay.length,
    })),
  );
}

/** All combinations of the cells of an effect's ranges. */
function cells(effect: Effect, element: number): FixedEffect[] {
  const rest = {
    element,
    ...(effect.stalled === undefined ? {} : { stalled: effect.stalled }),
    ...(effect.when === undefined ? {} : { when: effect.when }),
  };
  return ohmCells(effect.ohm).flatMap((ohm) =>
    logCells(effect.noLoad_A).map((noLoad_A) => ({
      ...rest,
      ...(ohm === undefined ? {} : { ohm }),
      ...(noLoad_A === undefined ? {} : { noLoad_A }),
      ...(effect.volt === undefined
        ? {}
        : { volt: (effect.alike === true ? together : between)(...effect.volt) }),
    })),
  );
}

function ohmCells(ohm: Effect["ohm"]): (Spread | undefined)[] {
  if (ohm === "open") return [OPEN];
  if (ohm === "short") return [SHORT];
  return logCells(ohm);
}

function logCells(range: Range | undefined): (Spread | undefined)[] {
  if (range === undefined) return [undefined];
  const [low, high] = [Math.log(range[0]), Math.log(range[1])];
  const count = Math.max(1, Math.round((high - low) / CELL_WIDTH));
  const width = (high - low) / count;
  return Array.from({ length: count }, (_, cell) => ({
    centre: Math.exp(low + (cell + 0.5) * width),
    sd: width / Math.sqrt(12),
    scale: "log",
  }));
}

function product<T>(lists: readonly (readonly T[])[]): T[][] {
  return lists.reduce<T[][]>(
    (done, list) => done.flatMap((head) => list.map((item) => [...head, item])),
    [[]],
  );
}

function unknownElement(model: ToolModel, element: string): LeadhandError {
  return new LeadhandError("diagnosis/model", {
    what: `The model ${model.kind} has a fault at "${element}", which is none of its elements.`,
    action: "Correct the model.",
  });
}
