import type { CallParams } from "../../workbench/contract/calls.js";
import { SelectField, TextField } from "./field.js";

/** The filter as it stands in its fields; "" does not narrow the list. */
export interface FilterData {
  readonly search: string;
  readonly outcome: string;
  readonly practice: string;
  readonly shelf: string;
  readonly from: string;
  readonly to: string;
}

export const noFilter: FilterData = {
  search: "",
  outcome: "",
  practice: "too",
  shelf: "at-hand",
  from: "",
  to: "",
};

const OUTCOMES = [
  ["", "Any outcome"],
  ["failed", "A check failed"],
  ["passed", "Nothing failed"],
  ["unfinished", "Not run to its end"],
] as const;

const PRACTICE = [
  ["too", "Real and practice"],
  ["none", "Real tools only"],
  ["only", "Practice only"],
] as const;

const SHELVES = [
  ["at-hand", "At hand"],
  ["archived", "Archived"],
] as const;

interface Props {
  readonly filter: FilterData;
  readonly onChange: (filter: FilterData) => void;
}

export function JobFilterFields({ filter, onChange }: Props) {
  const set = (change: Partial<FilterData>): void => onChange({ ...filter, ...change });
  return (
    <div className="filters" role="search">
      <TextField
        label="Search in tool, complaint and plan"
        name="search"
        value={filter.search}
        onChange={(search) => set({ search })}
      />
      <SelectField
        label="Outcome"
        value={filter.outcome}
        options={OUTCOMES}
        onChange={(outcome) => set({ outcome })}
      />
      <SelectField
        label="Which tools"
        value={filter.practice}
        options={PRACTICE}
        onChange={(practice) => set({ practice })}
      />
      <SelectField
        label="Where"
        value={filter.shelf}
        options={SHELVES}
        onChange={(shelf) => set({ shelf })}
      />
      <TextField
        label="From"
        name="from"
        type="date"
        value={filter.from}
        onChange={(from) => set({ from })}
      />
      <TextField
        label="To"
        name="to"
        type="date"
        value={filter.to}
        onChange={(to) => set({ to })}
      />
    </div>
  );
}

/** The question as the bench wants it: what stayed empty is not said. */
export function filterRequest(filter: FilterData): CallParams<"listJobs"> {
  const { search, from, to } = filter;
  const outcome = OUTCOMES.map(([id]) => id).find((id) => id !== "" && id === filter.outcome);
  return {
    search,
    practice: PRACTICE.map(([id]) => id).find((id) => id === filter.practice) ?? "too",
    archived: filter.shelf === "archived",
    ...(outcome === undefined || outcome === "" ? {} : { outcome }),
    ...(from === "" ? {} : { from }),
    ...(to === "" ? {} : { to }),
  };
}
