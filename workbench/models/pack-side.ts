import { about, between } from "./model.js";
import type { Effect, Element, FaultMode, Manner, Part, Point, Probe, Where } from "./model.js";
import { volts } from "./parts-of.js";
import type { PackData, ToolData } from "./tool-data.js";

/**
 * The supply half that every cordless tool shares: charger, pack, and the contacts between pack
 * and tool. Resistances and odds: common practice, no source.
 */
const ON_TOOL: Where = { pack: ["in", "known-good", "in-with-lamp"] };
/** Away from the charger that would wake it. */
const ALONE: Where = { pack: ["in", "out", "on-load", "in-with-lamp"] };
/** A car lamp of a few amperes, as a load that is known to work, ohms. */
export const LAMP = about(7, 1.5);
const MEGOHM = 1e6;

/** A blocked motor draws more than this, a free one less: there the protection of a pack acts. */
const TRIP_A = 15;

/** Volts per cell: healthy from well used to full. 4.2 V full: common charging limit. */
const CELL = { healthy: [3.4, 4.2], flat: [2.5, 3.2], dead: [0, 2.3] } as const;

export function supplyElements({ cells }: PackData): Element[] {
  return [
    {
      kind: "source",
      id: "charger",
      a: "charger-plus",
      b: "charger-minus",
      volt: between(cells * 4.0, cells * 4.5),
      ohm: about(1, 2),
      when: { charger: ["plugged"] },
    },
    ...packElements(cells),
    wire("charger-contact-plus", "charger-plus", "pack-plus", { pack: ["on-charger"] }),
    wire("charger-contact-minus", "charger-minus", "pack-minus", { pack: ["on-charger"] }),
    {
      kind: "resistor",
      id: "bench-load",
      a: "pack-plus",
      b: "pack-minus",
      ohm: LAMP,
      when: { pack: ["on-load"] },
    },
    wire("contact-plus", "pack-plus", "terminal-plus", ON_TOOL),
    wire("contact-minus", "pack-minus", "terminal-minus", ON_TOOL),
    {
      kind: "source",
      id: "known-source",
      a: "known-plus",
      b: "known-minus",
      volt: between(1, 26),
      ohm: about(1, 2),
    },
  ];
}

function packElements(cells: number): Element[] {
  const pack = { kind: "source", a: "pack-plus", b: "pack-minus" } as const;
  const [low, high] = CELL.healthy;
  return [
    {
      ...pack,
      id: "pack",
      volt: between(cells * low, cells * high),
      ohm: about(0.2, 1.7),
      when: { pack: ["in", "out", "on-charger", "on-load", "in-with-lamp"] },
      trip_A: TRIP_A,
    },
    {
      ...pack,
      id: "known-pack",
      volt: between(cells * 3.7, cells * high),
      ohm: about(0.1, 1.4),
      when: { pack: ["known-good"] },
      trip_A: TRIP_A,
    },
  ];
}

/** A lamp across the switch input: it loads pack and contacts whatever is broken behind them. */
export function toolLamp(a: string, b: string): Element {
  return { kind: "resistor", id: "tool-lamp", a, b, ohm: LAMP, when: { pack: ["in-with-lamp"] } };
}

export function wire(id: string, a: string, b: string, when?: Where): Element {
  const resistor = { kind: "resistor", id, a, b, ohm: about(0.015, 2) } as const;
  return when === undefined ? resistor : { ...resistor, when };
}

export function supplyParts(pack: PackData): Part[] {
  return [chargerPart(pack), packPart(pack)];
}

function chargerPart({ cells }: PackData): Part {
  return {
    id: "charger",
    label: "Charger",
    access: "closed",
    modes: [
      {
        id: "dead",
        words: "gives no voltage",
        odds: 0.02,
        ways: deadCharger,
      },
      {
        id: "weak",
        words: "gives too little voltage",
        odds: 0.008,
        ways: [[{ element: "charger", volt: [cells * 0.6, cells * 3.7] }]],
      },
    ],
  };
}

/** Nothing at all, or what leaks through; a diode keeps a dead one from loading the pack. */
export const deadCharger: FaultMode["ways"] = [
  [{ element: "charger", ohm: "open" }],
  [{ element: "charger", volt: [0, 0.5], ohm: [1000, 4000] }],
];

function packPart({ cells }: PackData): Part {
  const group = ([low, high]: readonly [number, number]) => [cells * low, cells * high] as const;
  // Shut off: mostly nothing at the terminals, sometimes a ghost through the protection circuit.
  const shut: Effect = { element: "pack", ohm: "open" };
  const ghost: Effect = { element: "pack", ohm: [2 * MEGOHM, 500 * MEGOHM] };
  return {
    id: "pack",
    label: "Battery pack",
    access: "closed",
    modes: [
      {
        id: "dead",
        words: "dead: far below what its cells may have",
        odds: 0.025,
        ways: [
          [{ element: "pack", volt: [0, 0.1] }],
          [{ element: "pack", volt: group(CELL.dead) }],
        ],
      },
      {
        id: "flat",
        words: "flat: discharged, not yet known to be defective",
        odds: 0.02,
        mend: "charge",
        // Nearly every pack that can talk to its cells cuts off before they are harmed.
        ways: [
          [{ element: "pack", volt: group(CELL.flat) }],
          ...collapsing({ ohm: "open" }).map((way) => [
            { element: "pack", volt: group(CELL.flat) },
            ...way,
          ]),
        ],
      },
      {
        id: "weak",
        words: "weak: full at rest, collapses under load",
        odds: 0.03,
        ways: [
          [{ element: "pack", ohm: [1, 60] }],
          // The work light of the tool is load enough for a pack whose cells are nearly gone.
          ...collapsing({ volt: [cells * 0.2, cells * 3] }),
        ],
      },
      {
        id: "tripped-protection",
        words: "shut off by its protection as soon as it is loaded, or for good",
        odds: 0.008,
        ways: [...collapsing({ ohm: "open" }), [shut], [ghost]],
      },
      {
        id: "asleep",
        words: "asleep behind its protection: no voltage until a charger wakes it",
        odds: 0.012,
        mend: "charge",
        ways: [[{ ...shut, when: ALONE }], [{ ...ghost, when: ALONE }]],
      },
    ],
  };
}

/** One way: the pack changes as soon as it is loaded, in the tool or on the bench. */
function collapsing(effect: Pick<Effect, "ohm" | "volt">): Effect[][] {
  const pack = { element: "pack", ...effect };
  return [
    [
      { ...pack, when: { trigger: ["squeezed", "worked"] } },
      { ...pack, when: { pack: ["on-load", "in-with-lamp"] } },
    ],
  ];
}

/** The contacts to the pack and the wires from there to the trigger switch: sold as one block. */
export function terminalsPart(): Part {
  const each = (effect: Pick<Effect, "ohm">): Effect[][] =>
    ["contact-plus", "contact-minus", "supply-wire-plus", "supply-wire-minus"].map((element) => [
      { element, ...effect },
    ]);
  return {
    id: "terminals",
    label: "Battery terminals",
    access: "closed",
    modes: [
      { id: "open", words: "open", odds: 0.012, ways: each({ ohm: "open" }) },
      {
        id: "high-resistance",
        words: "of high resistance",
        odds: 0.018,
        ways: each({ ohm: [1, 1000] }),
      },
    ],
  };
}

export const supplyPoints: readonly Point[] = [
  point("known-plus", "Known source plus", null),
  point("known-minus", "Known source minus", null),
  point("charger-plus", "Charger plus", "charger"),
  point("charger-minus", "Charger minus", "charger"),
  point("pack-plus", "Pack plus", "pack"),
  point("pack-minus", "Pack minus", "pack"),
  point("terminal-plus", "Tool terminal plus", "terminals"),
  point("terminal-minus", "Tool terminal minus", "terminals"),
];

export function point(
  id: string,
  label: string,
  after: string | null,
  access: Point["access"] = "closed",
): Point {
  return { id, label, after, access };
}

/** A charger that stays silent until it sees a pack, where nobody has said which kind it is. */
export function chargerManners(data: ToolData): Manner[] {
  const kind = data.charger ?? "unknown";
  if (kind === "always-live") return [];
  return [
    {
      id: "charger-silent-without-pack",
      words: "The charger gives no voltage until it sees a pack.",
      probability: kind === "unknown" ? 0.5 : 1,
      effects: [
        { element: "charger", volt: [0, 0.06], when: { pack: ["in", "out", "known-good"] } },
      ],
    },
  ];
}

/** The supply, from the wall to the terminals of the tool. */
export const supplyProbes: readonly Probe[] = [
  volts("charger-plus", "charger-minus", "charger-empty"),
  volts("charger-plus", "charger-minus", "charger-with-pack"),
  volts("pack-plus", "pack-minus", "pack-out"),
  volts("pack-plus", "pack-minus", "pack-on-load"),
  volts("pack-plus", "pack-minus", "squeezed"),
  volts("terminal-plus", "terminal-minus", "at-rest"),
  volts("terminal-plus", "terminal-minus", "squeezed"),
  volts("terminal-plus", "terminal-minus", "known-pack-squeezed"),
  volts("pack-plus", "pack-minus", "known-pack-squeezed"),
];
