/** The trade-off as a plot: false holds against the time to hold, both rules on the same scenes. */
export interface Curve {
  readonly label: string;
  readonly colour: string;
  /** Seconds from settled to held (median), false holds in a thousand, label of the point. */
  readonly points: readonly (readonly [number, number, string])[];
}

const WIDTH = 720;
const HEIGHT = 430;
const LEFT = 70;
const TOP = 24;
const RIGHT = 700;
const BOTTOM = 370;
/** The lower end of the axis stands for "none seen". */
const LEAST = 0.01;
const MOST = 1000;

export function tradeOffPlot(curves: readonly Curve[]): string {
  const most_s = Math.max(...curves.flatMap(({ points }) => points.map(([x]) => x))) * 1.05;
  const x = (s: number): number => LEFT + ((RIGHT - LEFT) * s) / most_s;
  const y = (perThousand: number): number => {
    const share = Math.log10(Math.max(LEAST, perThousand) / LEAST) / Math.log10(MOST / LEAST);
    return BOTTOM - (BOTTOM - TOP) * share;
  };
  const lines = [0.01, 0.1, 1, 10, 100, 1000].map((v) => {
    const label = v === LEAST ? "none" : String(v);
    return (
      `<line x1="${LEFT}" x2="${RIGHT}" y1="${y(v)}" y2="${y(v)}" stroke="#ccd"/>` +
      `<text x="${LEFT - 8}" y="${y(v) + 4}" text-anchor="end">${label}</text>`
    );
  });
  const ticks = Array.from({ length: Math.floor(most_s / 0.5) + 1 }, (_, k) => k * 0.5).map(
    (s) => `<text x="${x(s)}" y="${BOTTOM + 20}" text-anchor="middle">${s}</text>`,
  );
  const drawn = curves.map(({ label, colour, points }, k) => {
    const path = points.map(([s, f]) => `${x(s).toFixed(1)},${y(f).toFixed(1)}`).join(" ");
    const dots = points.map(
      ([s, f, name]) =>
        `<circle cx="${x(s).toFixed(1)}" cy="${y(f).toFixed(1)}" r="4" fill="${colour}"/>` +
        `<text x="${(x(s) + 7).toFixed(1)}" y="${(y(f) - 7).toFixed(1)}" fill="${colour}">${name}</text>`,
    );
    const legend = `<text x="${RIGHT}" y="${TOP + 16 * (k + 1)}" text-anchor="end" fill="${colour}" font-weight="bold">${label}</text>`;
    return `<polyline points="${path}" fill="none" stroke="${colour}" stroke-width="2"/>${dots.join("")}${legend}`;
  });
  const bar = `<line x1="${LEFT}" x2="${RIGHT}" y1="${y(1)}" y2="${y(1)}" stroke="#a00" stroke-dasharray="6 4"/>`;
  const titles =
    `<text x="${(LEFT + RIGHT) / 2}" y="${HEIGHT - 14}" text-anchor="middle">median time from settled to held, seconds</text>` +
    `<text transform="translate(18 ${(TOP + BOTTOM) / 2}) rotate(-90)" text-anchor="middle">false holds in a thousand sequences</text>`;
  const body = [...lines, bar, ...ticks, ...drawn, titles].join("\n");
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-family="sans-serif" font-size="13" fill="#223">\n<rect width="${WIDTH}" height="${HEIGHT}" fill="#fff"/>\n${body}\n</svg>\n`;
}
