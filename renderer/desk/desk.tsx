import { useBenchSlice, useCan } from "../store/bench-context.js";
import { JobsScreen } from "./jobs-screen.js";
import { MetersScreen } from "./meters-screen.js";
import { PlansScreen } from "./plans-screen.js";
import { useRemembered } from "./where.js";
import { StartScreen } from "./start-screen.js";

type Place = "new" | "jobs" | "plans" | "meters";

const PLACES: readonly (readonly [Place, string, string])[] = [
  ["new", "New job", "startRun"],
  ["jobs", "Jobs", "listJobs"],
  ["plans", "Plans", "readPlan"],
  ["meters", "Meters", "listTables"],
];

/** The quiet screens: what is done before and after the bench. */
export function Desk() {
  const [place, setPlace] = useRemembered<Place>("place", "new");
  return (
    <div className="desk">
      <DeskHead place={place} onGo={setPlace} />
      <main className="desk-sheet" data-testid={`desk-${place}`}>
        {place === "new" && <StartScreen />}
        {place === "jobs" && <JobsScreen />}
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
