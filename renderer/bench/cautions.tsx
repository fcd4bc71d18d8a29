import type { Caution } from "../store/state.js";

/** In words, above what is to be done, for as long as they apply. */
export function Cautions({ cautions }: { readonly cautions: readonly Caution[] }) {
  if (cautions.length === 0) return null;
  return (
    <ul className="cautions" data-testid="cautions">
      {cautions.map((caution) => (
        <li key={caution.kind}>
          <b>Caution</b>
          {caution.words}
        </li>
      ))}
    </ul>
  );
}
