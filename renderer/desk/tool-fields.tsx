export interface ToolData {
  readonly make: string;
  readonly model: string;
  readonly serial: string;
  readonly complaint: string;
}

export const emptyTool: ToolData = { make: "", model: "", serial: "", complaint: "" };

const FIELDS: readonly (readonly [keyof ToolData, string])[] = [
  ["make", "Make"],
  ["model", "Model"],
  ["serial", "Serial number"],
  ["complaint", "What the customer says is wrong"],
];

interface Props {
  readonly tool: ToolData;
  readonly onChange: (tool: ToolData) => void;
}

export function ToolFields({ tool, onChange }: Props) {
  return (
    <fieldset>
      <legend>Tool</legend>
      <div className="fields">
        {FIELDS.map(([name, label]) => (
          <label className="field" key={name}>
            <span className="label">{label}</span>
            <input
              name={name}
              value={tool[name]}
              autoComplete="off"
              onChange={(event) => onChange({ ...tool, [name]: event.target.value })}
            />
          </label>
        ))}
      </div>
    </fieldset>
  );
}
