const SIZE = { width: 420, height: 300 };
const EDGE = 60;
/** Answers are wanted within this at 15 parts, milliseconds. */
const BAR_MS = 50;

/** Parts across, milliseconds upwards, both logarithmic: a straight line is a power of the parts. */
export function growthPlot(rows) {
  const x = scale(Math.min(...rows.map((r) => r.parts)), 40, EDGE, EDGE + SIZE.width);
  const all = rows.flatMap((r) => [r.reason, r.propose, r.reason + r.propose]);
  const top = 10 ** Math.ceil(Math.log10(Math.max(...all)));
  const y = scale(1, top, EDGE / 2 + SIZE.height, EDGE / 2);
  const decades = [1, 10, 100, 1000, 10000].filter((ms) => ms <= top);
  const [right, bottom] = [EDGE + SIZE.width, EDGE / 2 + SIZE.height];
  const lines = [
    line(rows, x, y, (r) => r.reason + r.propose, "#0a4f8a", "both together", ""),
    line(rows, x, y, (r) => r.reason, "#8a3d0a", "weigh a reading", "7 4"),
    line(rows, x, y, (r) => r.propose, "#3d6b1f", "next probe", "2 4"),
  ];
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${right + 150} ${bottom + 60}" font-family="sans-serif" font-size="14" role="img">
<title>Time of one answer against the number of parts</title>
<rect width="100%" height="100%" fill="#fff"/>
${decades.map((ms) => `<path d="M${EDGE} ${y(ms)}H${right}" stroke="#ccc"/><text x="${EDGE - 8}" y="${y(ms) + 5}" text-anchor="end">${ms}</text>`).join("\n")}
${rows.map(({ parts }) => `<path d="M${x(parts)} ${bottom}v6" stroke="#333"/><text x="${x(parts)}" y="${bottom + 22}" text-anchor="middle">${parts}</text>`).join("\n")}
<path d="M${EDGE} ${y(BAR_MS)}H${right}" stroke="#333" stroke-dasharray="1 3"/><text x="${EDGE + 6}" y="${y(BAR_MS) - 5}">${BAR_MS} ms: the bar at 15 parts</text>
${lines.join("\n")}
<text x="${EDGE + SIZE.width / 2}" y="${bottom + 46}" text-anchor="middle">parts (each may open or gain resistance)</text>
<text transform="translate(18 ${bottom - SIZE.height / 2}) rotate(-90)" text-anchor="middle">milliseconds</text>
</svg>
`;
}

function scale(low, high, from, to) {
  const share = (value) => Math.log(value / low) / Math.log(high / low);
  return (value) => Math.round(10 * (from + share(Math.max(value, low)) * (to - from))) / 10;
}

function line(rows, x, y, value, colour, label, dash) {
  const points = rows.map((r) => [x(r.parts), y(value(r))]);
  const [endX, endY] = points.at(-1);
  const path = points.map(([a, b], i) => `${i === 0 ? "M" : "L"}${a} ${b}`).join("");
  return `<path d="${path}" fill="none" stroke="${colour}" stroke-width="2" stroke-dasharray="${dash}"/><text x="${endX + 8}" y="${endY + 5}" fill="${colour}">${label}</text>`;
}
