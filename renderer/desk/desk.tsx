import { useState } from "react";
import { useBenchSlice, useCan } from "../store/bench-context.js";
import { JobsScreen } from "./jobs-screen.js";
import { MetersScreen } from "./meters-screen.js";
import { PlansScreen } from "./plans-screen.js";
import { useRemembered } from "./where.js";
import type { RepeatPreset } from "./start-request.js";
import { StartScreen } from "./start-screen.js";
import { TrendsScreen } from "./trends-screen.js";

type Place = "new" | "jobs" | "trends" | "plans" | "meters";

const PLACES: readonly (readonly [Place, string, string])[] = [
  ["new", "New job", "startRun"],
  ["jobs", "Jobs", "listJobs"],
  ["trends", "Trends", "whatFails"],
  ["plans", "Plans", "readPlan"],
  ["meters", "Meters", "listTables"],
];

/** The quiet screens: what is done before and after the bench. */
export function Desk() {
  const [place, setPlace] = useRemembered<Place>("place", "new");
  const [repeat, setRepeat] = useState<RepeatPreset | null>(null);
  const go = (next: Place): void => {
    setRepeat(null);
    setPlace(next);
  };
  const repeatJob = (preset: RepeatPreset): void => {
    setRepeat(preset);
    setPlace("new");
  };
  return (
    <div className="desk">
      <DeskHead place={place} onGo={go} />
      <main className="desk-sheet" data-testid={`desk-${place}`}>
        {place === "new" && <StartScreen key={repeat?.repeats ?? ""} repeat={repeat} />}
        {place === "jobs" && <JobsScreen onRepeat={repeatJob} />}
        {place === "trends" && <TrendsScreen />}
        {place === "plans" && <PlansScreen />}
        {place === "meters" && <MetersScreen />}
      </main>
    </div>
  );
}

interface HeadProps {
  readonly place: Place;
  readonly onGo: (place: Place) => void;
}

function DeskHead({ place, onGo }: HeadProps) {
  const version = useBenchSlice((state) => state.version);
  return (
    <header className="desk-head">
      <span className="desk-name">Leadhand</span>
      <nav aria-label="Desk">
        {PLACES.map(([id, label, call]) => (
          <PlaceButton key={id} call={call} here={place === id} onGo={() => onGo(id)}>
            {label}
          </PlaceButton>
        ))}
      </nav>
      <span className="small">{version}</span>
    </header>
  );
}

interface PlaceProps {
  readonly call: string;
  readonly here: boolean;
  readonly onGo: () => void;
  readonly children: string;
}

/** A place whose questions the bench does not answer is not offered. */
function PlaceButton({ call, here, onGo, children }: PlaceProps) {
  if (!useCan(call)) return null;
  return (
    <button className="place" type="button" aria-current={here ? "page" : undefined} onClick={onGo}>
      {children}
    </button>
  );
}
