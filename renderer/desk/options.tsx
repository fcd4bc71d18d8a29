interface Option {
  readonly id: string;
  readonly title: string;
  readonly note: string;
}

interface Props {
  readonly legend: string;
  readonly name: string;
  readonly options: readonly Option[];
  readonly chosen: readonly string[];
  /** Several may be chosen; their order is kept. */
  readonly many?: boolean;
  readonly onChoose: (ids: readonly string[]) => void;
}

export function Options({ legend, name, options, chosen, many = false, onChoose }: Props) {
  const toggle = (id: string): void => {
    if (!many) onChoose([id]);
    else if (chosen.includes(id)) onChoose(chosen.filter((other) => other !== id));
    else onChoose([...chosen, id]);
  };
  return (
    <fieldset data-testid={`options-${name}`}>
      <legend>{legend}</legend>
      <div className="options">
        {options.map((option) => (
          <label className="option" key={option.id}>
            <input
              type={many ? "checkbox" : "radio"}
              name={name}
              value={option.id}
              checked={chosen.includes(option.id)}
              onChange={() => toggle(option.id)}
            />
            <span>{option.title}</span>
            {option.note !== "" && <span className="note small">{option.note}</span>}
          </label>
        ))}
        {options.length === 0 && <p className="small">None found yet.</p>}
      </div>
    </fieldset>
  );
}
