import { compile } from "../../dist/workbench/diagnosis/compile.js";
import { infer } from "../../dist/workbench/diagnosis/infer.js";
import { Predictor } from "../../dist/workbench/diagnosis/predict.js";
import { REST, chain, timed } from "./growth.mjs";

/** All triples are weighed up to here; beyond, there are a million of them and more. */
const ALL_TRIPLES_TO = 15;

/** How the time of one answer grows with the number of faults at once, for chains of so many parts. */
export function growthWithOrder(say) {
  return [5, 10, 15, 20, 30, 40].map((parts) => {
    const predictor = new Predictor(compile(chain(parts)));
    const observations = twoFaults(predictor, parts);
    const { singles, doubles } = predictor;
    const none = { value: () => [] };
    let tried = 0;
    const extended = (base) => {
      const made = predictor.extended(base);
      tried += made.length;
      return made;
    };
    const row = {
      parts,
      one: weighed(predictor, observations, { doubles: { value: singles }, extended: none }),
      two: weighed(predictor, observations, { extended: none }),
      byOdds: weighed(predictor, observations, { extended: { value: extended } }),
      all: null,
    };
    row.one.hypotheses = singles.length;
    row.two.hypotheses = doubles.length;
    tried = 0;
    infer(Object.create(predictor, { extended: { value: extended } }), observations);
    row.byOdds.hypotheses = doubles.length + tried;
    if (parts <= ALL_TRIPLES_TO) {
      const triples = allTriples(predictor);
      const list = [...doubles, ...triples];
      row.all = weighed(predictor, observations, { doubles: { value: list }, extended: none }, 3);
      row.all.hypotheses = list.length;
    }
    say(
      `${parts} parts: ${["one", "two", "byOdds", "all"].map((o) => row[o]?.ms.toFixed(1)).join(", ")} ms`,
    );
    return row;
  });
}

/** The same reasoning over another list of hypotheses; a reading that nobody has seen before. */
function weighed(predictor, observations, changes, times = 9) {
  const part = Object.create(predictor, changes);
  infer(part, observations);
  const fresh = () => [...observations.slice(0, -1), { ...observations.at(-1) }];
  return { ms: timed(() => infer(part, fresh()), times) };
}

/** What a meter shows along a chain in which two parts have gained resistance. */
function twoFaults(predictor, parts) {
  const { variants } = predictor.compiled;
  const bad = [Math.floor(parts * 0.3), Math.floor(parts * 0.7)];
  const faults = bad.map((part) =>
    variants.filter((one) => one.part === part && one.mode.id === "high-resistance").at(0),
  );
  const truth = predictor.hypotheses.of(faults, [], 1);
  // On both sides of either, so that the pair is found.
  return [...bad.flatMap((i) => [i, i + 1]), parts].map((i) => {
    const target = { quantity: "voltage", red: "p0", black: `p${i}`, condition: REST };
    const value = predictor.predict(target, truth).mean;
    return { kind: "measured", ...target, value, u: null, proved: true, unsteady: null };
  });
}

function allTriples(predictor) {
  const doubles = predictor.doubles.filter(({ faults }) => faults.length === 2);
  return doubles.flatMap((base) =>
    // Each triple once: what is added lies behind both.
    predictor
      .extended(base)
      .filter(({ faults }) => faults[2].part > base.faults[1].part && faults[1] === base.faults[1]),
  );
}
