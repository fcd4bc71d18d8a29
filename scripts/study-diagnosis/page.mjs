export const GROWTH_HEAD = "## How long does one answer take?";

const percent = (share) => `${(100 * share).toFixed(1)} %`;
const middle = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];

/** docs/study-diagnosis.md */
export function page({ cases, found, bins, effort, growth, orders, cpu_min }) {
  const { right, of } = found;
  const worst = [...found.confused].sort((a, b) => b[1].missed - a[1].missed).slice(0, 20);
  return `# Study of the diagnosis

Written by \`npm run study:diagnosis\` (seeded; ${cpu_min.toFixed(0)} minutes of processor time, on a machine shared with other work). Do not edit by hand.

## What was done

${cases} brushed cordless tools of 18 V with one or two hidden faults (drawn by the prior odds of the
model), each measured with a simulated meter of 4,000 counts: gain error, noise, tenths of an ohm,
leads of 0 to 0.5 Ω, and a hand that slips three times in a thousand.

What generator and reasoning share: the table of healthy values and prior odds, and what a person
sees (\`workbench/models\`). What they do not share: the generator works out the one loop of the tool by
hand with exact values drawn from the whole range of a fault, where the reasoning solves the network
by nodal analysis with a few cells a range and derivatives; meter, leads and hand exist in the
generator only. The faults of the generator are those of the model: a fault that nobody thought of is
not in this study. The practice bench, written apart, is a second check
(\`tests/workbench/diagnosis/practice.test.ts\`).

## Is the true set first?

| faults | cases | true set first | bar |
| --- | ---: | ---: | ---: |
| one | ${of[1]} | ${percent(right[1] / of[1])} | 97 % |
| two | ${of[2]} | ${percent(right[2] / of[2])} | 90 % |

After the whole fixed order. Most often missed, and what was named instead:

| hidden | missed | named first instead |
| --- | ---: | --- |
${worst.map(([hidden, { missed, said }]) => `| ${hidden} | ${missed} | ${saidWords(said)} |`).join("\n")}

What is still missed, as far as it has a reason beyond a slip of the hand or an unlucky look: a worn
or stuck brush keeps every current out of the armature, so that a shorted armature behind it shows
only by a resistance of some hundredths of an ohm, which a meter of tenths does not tell from a healthy
one; new brushes first, then the motor's current, tell it. A flat pack is not told from a
sound one near the end of its charge. Such pairs count as missed here.

## Do the stated probabilities mean what they say?

| stated for | statements | expected calibration error | bar |
| --- | ---: | ---: | ---: |
| the first candidate, after all readings | ${cases} | ${bins.end.error.toFixed(4)} | 0.05 |
| the first candidate, at a random moment on the way | ${bins.midway.bins.reduce((s, b) => s + b.n, 0)} | ${bins.midway.error.toFixed(4)} | 0.05 |
| each part, at both moments | ${bins.parts.bins.reduce((s, b) => s + b.n, 0)} | ${bins.parts.error.toFixed(4)} | 0.05 |

![Reliability plot: stated probability against the share that came true](study-diagnosis.svg)

Ten equal bins, first candidate at a random moment:

| stated | came true | statements |
| ---: | ---: | ---: |
${bins.midway.bins.map(({ said, came, n }) => `| ${said.toFixed(3)} | ${came.toFixed(3)} | ${n} |`).join("\n")}

## How many probes?

${effort.of} further cases, once by the proposals, once in the fixed order, both until the first
candidate is above 90 % and any further fault below 5 %.

| | proposals | fixed order |
| --- | ---: | ---: |
| probes and looks, median | ${middle(effort.used.proposed)} | ${middle(effort.used.fixed)} |
| true set first | ${percent(effort.right.proposed / effort.of)} | ${percent(effort.right.fixed / effort.of)} |

Median of the ratio, case by case: ${percent(middle(effort.ratios))} (bar: 60 %).

In ${share(effort.ratios, (r) => r <= 0.6)} of the cases the proposals took at most 60 % of the fixed order's
probes; they took more than the fixed order in ${share(effort.ratios, (r) => r > 1)}.

${growthSection({ growth, orders })}`;
}

/** The last section of the page, which can also be measured alone. */
export function growthSection({ growth, orders }) {
  return `${GROWTH_HEAD}

A chain of so many parts, each of which may open or gain resistance; processor time on one core.
"First" is the first answer ever, which also solves the networks; later answers remember them.
"Weigh a reading" is a reading that nobody has seen before; the bar of 50 ms at 15 parts is for both
columns together.

![Time of one answer against the number of parts](study-diagnosis-growth.svg)

| parts | single faults | up to two faults | first, ms | weigh a reading, ms | next probe, ms | both, ms |
| ---: | ---: | ---: | ---: | ---: | ---: | ---: |
${growth.map((g) => `| ${g.parts} | ${g.singles - 1} | ${g.hypotheses - 1} | ${g.cold.toFixed(0)} | ${g.reason.toFixed(1)} | ${g.propose.toFixed(1)} | ${(g.reason + g.propose).toFixed(1)} |`).join("\n")}

Growth with the order of the faults: milliseconds to weigh one reading, and how many sets of faults
were weighed. The readings lie on both sides of two parts that have gained resistance.

| parts | one fault | up to two | three by odds | all threes |
| ---: | ---: | ---: | ---: | ---: |
${orders.map((o) => `| ${o.parts} | ${cell(o.one)} | ${cell(o.two)} | ${cell(o.byOdds)} | ${o.all === null ? "not tried" : cell(o.all)} |`).join("\n")}

"Three by odds" is what the program does: three faults are looked at where two of them explain well (at
most eight pairs, each with one fault more). All threes are shown for what that saves; beyond 15 parts
there are a million and more.
`;
}

function saidWords(said) {
  return [...said]
    .sort((a, b) => b[1] - a[1])
    .slice(0, 2)
    .map(([words, n]) => `${words} (${n})`)
    .join(", ");
}

const cell = ({ ms, hypotheses }) => `${ms.toFixed(1)} (${hypotheses})`;
const share = (list, test) => percent(list.filter(test).length / list.length);
