import type { HandRequest } from "../../drivers/practice/bench.js";
import type { Declared } from "../../workbench/diagnosis/free/free-event.js";
import type { FreeMoment } from "./free-sitting.js";

/**
 * The technician of the practice bench, probing freely: goes where the most is to be learnt, says
 * yes where the program has the place right and no where it has not. It knows nothing of the faults.
 */
export class PracticeFreeHand {
  #target: Declared | null = null;
  /** Places that led to nothing. */
  readonly #givenUp = new Set<string>();
  #proposed: readonly Declared[] = [];
  #turn = 0;

  constructor(
    private readonly points: readonly string[],
    private readonly follow: (request: HandRequest) => void,
  ) {}

  hear(moment: FreeMoment): void {
    switch (moment.kind) {
      case "open":
        this.#proposed = moment.proposed;
        this.#goOn();
        break;
      case "ask":
        this.#answer(moment);
        break;
      case "ask-go-on":
        if (this.#target === null) this.#act("hold-key");
        else this.#giveUp();
        break;
      case "unmatched":
        this.#giveUp();
        break;
      case "waiting":
        this.#act("hold-key");
        break;
      case "standing":
        this.#act("reseat");
        break;
      case "restless":
        this.#giveUp();
        break;
      case "held":
      case "taken":
      case "refused":
      case "go-on":
        break;
    }
  }

  /** To what tells most of what this bench can show; when there is none, the key ends it. */
  #goOn(): void {
    this.#target =
      this.#proposed.find((place) => this.#canShow(place) && !this.#givenUp.has(keyOf(place))) ??
      null;
    this.#act(this.#target === null ? "hold-key" : "touch");
  }

  #canShow({ probe, condition }: Declared): boolean {
    const { red, black } = probe;
    const { pack } = condition;
    return (
      (pack === "in" || pack === "out") && this.points.includes(red) && this.points.includes(black)
    );
  }

  /** Staying is what it does unasked. */
  #answer({ matches, at, by }: Extract<FreeMoment, { kind: "ask" }>): void {
    const asked = matches[at];
    const right =
      asked !== undefined && this.#target !== null && keyOf(asked) === keyOf(this.#target);
    if (by === "key") {
      if (right) this.#act("hold-key");
    } else if (!right) this.#act("reseat");
  }

  #giveUp(): void {
    if (this.#target !== null) this.#givenUp.add(keyOf(this.#target));
    this.#goOn();
  }

  #act(action: HandRequest["action"]): void {
    const place = this.#target;
    const known = { red: "known-plus", black: "known-minus" };
    const { red, black } = place?.probe ?? known;
    const condition = place?.condition ?? AT_REST;
    this.#turn += 1;
    this.follow({
      step: `free ${this.#turn}`,
      red,
      black,
      condition: { ...condition, pack: condition.pack === "in" ? "in" : "out" },
      dial: dialFor(place),
      asMarked: true,
      action,
    });
  }
}

const AT_REST: HandRequest["condition"] = {
  trigger: "released",
  pack: "out",
  charger: "unplugged",
  shaft: "still",
  case: "closed",
  mains: "unplugged",
  motor: "connected",
};

function dialFor(place: Declared | null): HandRequest["dial"] {
  return place?.probe.quantity === "resistance"
    ? { quantity: "resistance", coupling: null }
    : { quantity: "voltage", coupling: "dc" };
}

function keyOf({ probe }: Declared): string {
  return `${probe.quantity} ${probe.red} ${probe.black} ${probe.condition}`;
}
