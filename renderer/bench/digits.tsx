import { memo } from "react";
import { digitCells, widthInEms } from "../view/reading-view.js";

/** The meter's own digits in cells of fixed width. */
export const Digits = memo(function Digits({ digits }: { readonly digits: string }) {
  const cells = digitCells(digits);
  return (
    <span
      className="digits"
      data-testid="reading-digits"
      data-digits={digits}
      style={{ ["--ems" as string]: widthInEms(cells) }}
    >
      {cells.map((cell, at) => (
        <span className="cell" data-kind={cell.kind} key={at}>
          {cell.text}
        </span>
      ))}
    </span>
  );
});
