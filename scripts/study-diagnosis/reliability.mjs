/** Ten equal bins of stated probability: how often it came true, and the expected calibration error. */
export function calibration(stated) {
  const bins = Array.from({ length: 10 }, () => ({ n: 0, said: 0, true: 0 }));
  for (const [p, hit] of stated) {
    const bin = bins[Math.min(9, Math.floor(p * 10))];
    bin.n += 1;
    bin.said += p;
    bin.true += hit ? 1 : 0;
  }
  const error = bins.reduce((sum, bin) => sum + Math.abs(bin.said - bin.true), 0) / stated.length;
  return {
    error,
    bins: bins
      .filter(({ n }) => n > 0)
      .map((bin) => ({ n: bin.n, said: bin.said / bin.n, came: bin.true / bin.n })),
  };
}

const SIZE = 360;
const EDGE = 50;
const at = (p) => EDGE + p * SIZE;
const up = (p) => EDGE + (1 - p) * SIZE;

/** Stated probability across, how often it came true upwards; the diagonal is perfect. */
export function reliabilityPlot({ midway, parts }) {
  const ticks = [0, 0.2, 0.4, 0.6, 0.8, 1].map(
    (p) => `<path d="M${at(p)} ${up(0)}v6M${at(0)} ${up(p)}h-6" stroke="#333"/>
<text x="${at(p)}" y="${up(0) + 22}" text-anchor="middle">${p}</text>
<text x="${at(0) - 12}" y="${up(p) + 5}" text-anchor="end">${p}</text>`,
  );
  const total = SIZE + 2 * EDGE;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${total + 170} ${total + 10}" font-family="sans-serif" font-size="14" role="img">
<title>Reliability of the stated probabilities</title>
<rect width="100%" height="100%" fill="#fff"/>
<rect x="${at(0)}" y="${up(1)}" width="${SIZE}" height="${SIZE}" fill="none" stroke="#333"/>
<path d="M${at(0)} ${up(0)}L${at(1)} ${up(1)}" stroke="#999" stroke-dasharray="6 5"/>
${ticks.join("\n")}
${marks(midway.bins, "circle")}
${marks(parts.bins, "square")}
<text x="${at(0.5)}" y="${total - 6}" text-anchor="middle">stated probability</text>
<text transform="translate(14 ${up(0.5)}) rotate(-90)" text-anchor="middle">share that came true</text>
<circle cx="${total + 4}" cy="90" r="5" fill="none" stroke="#0a4f8a" stroke-width="2"/><text x="${total + 16}" y="95">first candidate</text>
<rect x="${total - 1}" y="111" width="10" height="10" fill="#8a3d0a"/><text x="${total + 16}" y="121">each part</text>
</svg>
`;
}

function marks(bins, shape) {
  const points = bins.map(({ said, came }) => [at(said), up(came)]);
  const line = points.map(([x, y], i) => `${i === 0 ? "M" : "L"}${x.toFixed(1)} ${y.toFixed(1)}`);
  const colour = shape === "circle" ? "#0a4f8a" : "#8a3d0a";
  const dots = points.map(([x, y]) =>
    shape === "circle"
      ? `<circle cx="${x.toFixed(1)}" cy="${y.toFixed(1)}" r="5" fill="#fff" stroke="${colour}" stroke-width="2"/>`
      : `<rect x="${(x - 5).toFixed(1)}" y="${(y - 5).toFixed(1)}" width="10" height="10" fill="${colour}"/>`,
  );
  return `<path d="${line.join("")}" fill="none" stroke="${colour}"/>${dots.join("")}`;
}
