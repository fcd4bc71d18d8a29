/** Text that is markup already. */
export class Markup {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

export type MarkupPart = string | number | Markup | null | readonly MarkupPart[];

/** Builds HTML or SVG; whatever is put in is escaped unless it is markup itself. null is nothing. */
export function markup(pieces: TemplateStringsArray, ...parts: readonly MarkupPart[]): Markup {
  const text = pieces.reduce((sum, piece, index) => {
    const part = parts[index - 1];
    return sum + (part === undefined ? "" : textOf(part)) + piece;
  });
  return new Markup(text);
}

function textOf(part: MarkupPart): string {
  if (part === null) return "";
  if (part instanceof Markup) return part.text;
  if (typeof part === "object") return part.map(textOf).join("");
  return escaped(String(part));
}

function escaped(text: string): string {
  return text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("'", "&#39;");
}
