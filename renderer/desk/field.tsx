interface TextProps {
  readonly label: string;
  readonly name: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly type?: "text" | "date" | "number";
}

export function TextField({ label, name, value, onChange, type = "text" }: TextProps) {
  return (
    <label className="field">
      <span className="label">{label}</span>
      <input
        name={name}
        type={type}
        step="any"
        value={value}
        autoComplete="off"
        onChange={(event) => onChange(event.target.value)}
      />
    </label>
  );
}

interface SelectProps {
  readonly label: string;
  readonly value: string;
  readonly options: readonly (readonly [string, string])[];
  readonly onChange: (value: string) => void;
}

export function SelectField({ label, value, options, onChange }: SelectProps) {
  return (
    <label className="field">
      <span className="label">{label}</span>
      <select value={value} onChange={(event) => onChange(event.target.value)}>
        {options.map(([id, words]) => (
          <option value={id} key={id}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}
