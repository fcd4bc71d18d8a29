import { COUPLINGS, QUANTITIES } from "../../workbench/contract/reading.js";
import { PLAN_CHOICES, WATCH_DETAILS } from "../../workbench/contract/plan-choices.js";
import { useEdit } from "./edit-context.js";
import { LimitAt, NumberAt, plain, Said, SelectAt, TextAt } from "./fields.js";
import { getAt, isObject, listAt, textAt } from "./json-path.js";
import type { Path } from "./json-path.js";
import { watchOf } from "./plan-text.js";

interface Props {
  readonly path: Path;
}

/** What is measured where, under which condition, how it is recognised and how it is judged. */
export function MeasureFields({ path }: Props) {
  const { plan } = useEdit();
  const points = listAt(plan, ["points"]).map(
    (point) => [textAt(point, ["id"]), textAt(point, ["label"])] as const,
  );
  return (
    <>
      <div className="fields">
        <SelectAt label="Dial" path={[...path, "quantity"]} options={plain(QUANTITIES)} />
        <SelectAt
          label="Coupling"
          path={[...path, "coupling"]}
          options={[["", "none"], ...COUPLINGS.map((each) => [each, each.toUpperCase()] as const)]}
        />
        <SelectAt label="Red on" path={[...path, "red"]} options={points} />
        <SelectAt label="Black on" path={[...path, "black"]} options={points} />
      </div>
      <ConditionFields path={[...path, "condition"]} />
      <WatchFields path={path} />
      <LimitFields path={path} />
      <div className="fields">
        <TextAt label="A pass means" path={[...path, "means", "pass"]} rows={2} />
        <TextAt label="A fail means" path={[...path, "means", "fail"]} rows={2} />
      </div>
    </>
  );
}

/** The first of each is what counts where the plan says nothing: the safe one. */
const CONDITIONS = [
  ["trigger", "Trigger", PLAN_CHOICES.trigger, "released"],
  ["pack", "Pack", PLAN_CHOICES.pack, "out"],
  ["charger", "Charger", PLAN_CHOICES.charger, "unplugged"],
  ["mains", "Mains", PLAN_CHOICES.mains, "unplugged"],
  ["motor", "Motor", PLAN_CHOICES.motor, "connected"],
  ["shaft", "Shaft", PLAN_CHOICES.shaft, "still"],
  ["case", "Case", PLAN_CHOICES.case, "closed"],
] as const;

function ConditionFields({ path }: Props) {
  return (
    <fieldset>
      <legend>Condition of the tool</legend>
      <div className="fields narrow">
        {CONDITIONS.map(([name, label, words, usual]) => (
          <SelectAt
            key={name}
            label={label}
            path={[...path, name]}
            options={plain(words)}
            usual={usual}
          />
        ))}
      </div>
      <Said path={path} />
    </fieldset>
  );
}

const WATCH_WORDS = [
  ["settle", "settle: until it stays still"],
  ["sag", "sag: trigger squeezed, held, let go"],
  ["change", "change: open, closed, open"],
  ["sweep", "sweep: shaft turned by hand"],
] as const;

const WATCH_NUMBERS: Readonly<Record<string, readonly (readonly [string, string])[]>> = {
  settle: [
    ["window_s", "Still for, seconds"],
    ["counts", "Within, counts of the meter"],
  ],
  sag: [
    ["edge", "Drop that counts, share of the start"],
    ["hold_s", "Held for, seconds"],
  ],
  change: [
    ["window_s", "Still for, seconds"],
    ["times", "How often it is worked"],
  ],
  sweep: [["duration_s", "Turned for, seconds"]],
};

function WatchFields({ path }: Props) {
  const { plan, set } = useEdit();
  const watch: Path = [...path, "watch"];
  const kind = textAt(plan, [...watch, "kind"]);
  const details: readonly string[] = isWatch(kind) ? WATCH_DETAILS[kind] : [];
  return (
    <fieldset>
      <legend>How the reading is recognised</legend>
      <div className="fields">
        <SelectAt
          label="Watch"
          path={[...watch, "kind"]}
          options={WATCH_WORDS}
          onChoose={(chosen) => set(watch, watchOf(chosen))}
        />
        {(WATCH_NUMBERS[kind] ?? []).map(([name, label]) => (
          <NumberAt key={name} label={label} path={[...watch, name]} />
        ))}
        <SelectAt
          label="Judged"
          path={[...path, "judged"]}
          usual="value"
          options={[["value", "the value"], ...plain(details)]}
        />
      </div>
      <Said path={watch} />
    </fieldset>
  );
}

function isWatch(kind: string): kind is keyof typeof WATCH_DETAILS {
  return Object.hasOwn(WATCH_DETAILS, kind);
}

function LimitFields({ path }: Props) {
  const { plan, set } = useEdit();
  const limits: Path = [...path, "limits"];
  const has = isObject(getAt(plan, limits));
  return (
    <fieldset className="form">
      <legend>Limits and rule</legend>
      {has ? (
        <div className="fields">
          <LimitAt label="At least: number or formula" path={[...limits, "low"]} />
          <LimitAt label="At most: number or formula" path={[...limits, "high"]} />
          <TextAt label="Source of the limits" path={[...limits, "source"]} />
        </div>
      ) : (
        <p className="small">None: the value is noted and not judged.</p>
      )}
      <div>
        <button
          className="button small"
          type="button"
          onClick={() => set(limits, has ? undefined : { source: "common practice, no source" })}
        >
          {has ? "Judge nothing here" : "Add limits"}
        </button>
      </div>
      <Said path={limits} />
      <div className="fields">
        <SelectAt
          label="Rule"
          path={[...path, "rule"]}
          usual="guarded"
          options={[
            ["guarded", "guarded: the meter's uncertainty is kept off the limits"],
            ["simple", "simple: the value alone"],
          ]}
        />
        <SelectAt
          label="Polarity"
          path={[...path, "polarity"]}
          usual="as-marked"
          options={[
            ["as-marked", "as marked"],
            ["either", "either way round, and said so"],
          ]}
        />
        <SelectAt
          label="Zero or open"
          path={[...path, "zero"]}
          usual="prove"
          options={[
            ["prove", "only when proved"],
            ["accept", "counts at once"],
            ["note", "when proved, and is noted without a verdict"],
          ]}
        />
      </div>
    </fieldset>
  );
}
