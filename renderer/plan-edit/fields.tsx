import { useId } from "react";
import type { ReactNode } from "react";
import { findingsAt, useEdit } from "./edit-context.js";
import { getAt, textAt } from "./json-path.js";
import type { Json, Path } from "./json-path.js";
import { limitOf } from "./plan-text.js";

interface Common {
  readonly label: string;
  readonly path: Path;
}

interface TextProps extends Common {
  /** What is typed as it goes into the plan; the text itself where not given. */
  readonly read?: (typed: string) => Json | undefined;
  readonly rows?: number;
  readonly type?: "text" | "number";
  readonly onCommit?: (typed: string) => void;
}

/** A field of the plan, with what the checker says of it underneath. */
export function TextAt({ label, path, read = String, rows, type = "text" }: TextProps) {
  const { plan, set } = useEdit();
  const shown = { value: textAt(plan, path), ...useMessages(path) };
  const onChange = (typed: string): void => set(path, read(typed));
  return (
    <Labelled label={label} path={path} id={shown.id}>
      {rows === undefined ? (
        <input
          {...attributes(shown)}
          type={type}
          step="any"
          autoComplete="off"
          value={shown.value}
          onChange={(event) => onChange(event.target.value)}
        />
      ) : (
        <textarea
          {...attributes(shown)}
          rows={rows}
          value={shown.value}
          onChange={(event) => onChange(event.target.value)}
        />
      )}
    </Labelled>
  );
}

/** A number or a formula; empty: no limit. */
export function LimitAt(props: Common) {
  return <TextAt {...props} read={limitOf} />;
}

/** A number that has to be there. */
export function NumberAt(props: Common) {
  const read = (typed: string) => (typed === "" ? undefined : Number(typed));
  return <TextAt {...props} type="number" read={read} />;
}

interface SelectProps extends Common {
  /** Value and words; the value "" takes the field away. */
  readonly options: readonly (readonly [string, string])[];
  /** What counts where the plan says nothing. */
  readonly usual?: string;
  readonly onChoose?: (value: string) => void;
}

export function SelectAt({ label, path, options, usual = "", onChoose }: SelectProps) {
  const { plan, set } = useEdit();
  const found = getAt(plan, path);
  const value = found === undefined || found === null ? usual : textAt(plan, path);
  const messages = useMessages(path);
  const known = options.some(([id]) => id === value);
  return (
    <Labelled label={label} path={path} id={messages.id}>
      <select
        {...attributes(messages)}
        value={value}
        onChange={(event) => {
          const chosen = event.target.value;
          if (onChoose) onChoose(chosen);
          else set(path, chosen === "" ? undefined : chosen);
        }}
      >
        {!known && <option value={value}>{value === "" ? "choose" : `${value} (unknown)`}</option>}
        {options.map(([id, words]) => (
          <option value={id} key={id}>
            {words}
          </option>
        ))}
      </select>
    </Labelled>
  );
}

export function CheckAt({ label, path }: Common) {
  const { plan, set } = useEdit();
  return (
    <label className="check">
      <input
        type="checkbox"
        checked={getAt(plan, path) === true}
        onChange={(event) => set(path, event.target.checked)}
      />
      {label}
    </label>
  );
}

/** Choices that are words themselves. */
export function plain(words: readonly string[]): readonly (readonly [string, string])[] {
  return words.map((word) => [word, word.replaceAll("-", " ")] as const);
}

interface Messages {
  readonly id: string;
  readonly wrong: boolean;
  readonly any: boolean;
}

function useMessages(path: Path): Messages {
  const id = useId();
  const found = findingsAt(useEdit().findings, path);
  return { id, wrong: found.some(({ level }) => level === "error"), any: found.length > 0 };
}

function attributes({ id, wrong, any }: Messages) {
  return {
    id,
    "aria-invalid": wrong || undefined,
    "aria-describedby": any ? `${id}-said` : undefined,
  };
}

interface LabelledProps extends Common {
  readonly id: string;
  readonly children: ReactNode;
}

function Labelled({ label, path, id, children }: LabelledProps) {
  return (
    <div className="field">
      <label className="label" htmlFor={id}>
        {label}
      </label>
      {children}
      <Said path={path} id={`${id}-said`} />
    </div>
  );
}

interface SaidProps {
  readonly path: Path;
  readonly id?: string;
  /** Also what is said of anything below this place. */
  readonly inside?: boolean;
}

/** What the checker says of a place. */
export function Said({ path, id, inside = false }: SaidProps) {
  const found = findingsAt(useEdit().findings, path, inside);
  if (found.length === 0) return null;
  return (
    <ul className="said" id={id} data-testid="said">
      {found.map(({ level, what, action, code }, at) => (
        <li key={at} data-level={level}>
          <b>{level === "error" ? "Error" : "Warning"}</b> {what}. {action}{" "}
          <span className="small">[{code}]</span>
        </li>
      ))}
    </ul>
  );
}
