import { useState } from "react";
import { useBench } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { SelectField, TextField } from "./field.js";
import { emptyLine, FUNCTIONS, tableOf } from "./meter-text.js";
import type { LineText, MeterFormData } from "./meter-text.js";

interface Props {
  readonly meter: MeterFormData;
  readonly onDone: () => void;
}

/** One meter: its name, its calibration and the table of its manual, line by line. */
export function MeterForm({ meter, onDone }: Props) {
  const { client } = useBench();
  const act = useAction();
  const [data, setData] = useState(meter);
  const save = (): void => act(client.call("saveTable", { table: tableOf(data) }).then(onDone));
  const setLine = (at: number, line: LineText): void =>
    setData({ ...data, lines: data.lines.map((old, other) => (other === at ? line : old)) });
  return (
    <form
      className="form"
      data-testid="meter-form"
      onSubmit={(event) => {
        event.preventDefault();
        save();
      }}
    >
      <h1>{data.meter === "" ? "A meter" : data.meter}</h1>
      <HeadFields data={data} onChange={setData} />
      <fieldset className="form">
        <legend>Accuracy: ± (percent of reading + counts)</legend>
        {data.lines.map((line, at) => (
          <LineFields key={at} line={line} onChange={(changed) => setLine(at, changed)} />
        ))}
        <div>
          <button
            className="button small"
            type="button"
            onClick={() => setData({ ...data, lines: [...data.lines, emptyLine] })}
          >
            One more line
          </button>
        </div>
      </fieldset>
      <div className="choices">
        <button className="button" data-kind="main" type="submit" disabled={data.meter === ""}>
          Keep the meter
        </button>
        <button className="button" type="button" onClick={onDone}>
          Leave it as it was
        </button>
      </div>
    </form>
  );
}

interface HeadProps {
  readonly data: MeterFormData;
  readonly onChange: (data: MeterFormData) => void;
}

const HEAD = [
  ["meter", "Name of the meter", "text"],
  ["calibrated", "Last calibrated", "date"],
  ["months", "Calibration holds for, months", "number"],
  ["low_degC", "Accuracy holds from, °C", "number"],
  ["high_degC", "Accuracy holds up to, °C", "number"],
  ["perDegree", "Beyond, added per °C (share of the accuracy)", "number"],
] as const;

function HeadFields({ data, onChange }: HeadProps) {
  return (
    <div className="fields">
      {HEAD.map(([name, label, type]) => (
        <TextField
          key={name}
          label={label}
          name={name}
          type={type}
          value={data[name]}
          onChange={(value) => onChange({ ...data, [name]: value })}
        />
      ))}
    </div>
  );
}

const NUMBERS = [
  ["percent", "Percent of reading"],
  ["counts", "Counts"],
  ["upTo", "Range up to (SI unit, empty: any)"],
  ["resolution", "One count (SI unit, empty: any)"],
] as const;

interface LineProps {
  readonly line: LineText;
  readonly onChange: (line: LineText) => void;
}

function LineFields({ line, onChange }: LineProps) {
  return (
    <div className="meter-line">
      <SelectField
        label="Function"
        value={line.function}
        options={FUNCTIONS}
        onChange={(value) => onChange({ ...line, function: value })}
      />
      {NUMBERS.map(([name, label]) => (
        <TextField
          key={name}
          label={label}
          name={name}
          type="number"
          value={line[name]}
          onChange={(value) => onChange({ ...line, [name]: value })}
        />
      ))}
    </div>
  );
}
