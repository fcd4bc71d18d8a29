import { axisFor, tickText, type Axis } from "./axis.js";
import { markup, type Markup } from "./markup.js";

/** One line of a plot. `value` null: a gap, no line is drawn across it. */
export interface PlotSeries {
  readonly label: string;
  readonly time_s: readonly number[];
  readonly value: readonly (number | null)[];
}

export interface PlotMark {
  readonly label: string;
  readonly value: number;
}

export interface Plot {
  /** Unique in the document. */
  readonly id: string;
  readonly title: string;
  /** What the plot shows, in words, for those who cannot see it. */
  readonly description: string;
  readonly yTitle: string;
  readonly xTitle: string;
  readonly series: readonly PlotSeries[];
  /** Limits and named figures, as level lines. */
  readonly marks: readonly PlotMark[];
}

const WIDTH = 720;
const HEIGHT = 300;
const LEFT = 64;
const RIGHT = 128;
const TOP = 30;
const BOTTOM = 46;

interface Frame {
  readonly x: (time_s: number) => number;
  readonly y: (value: number) => number;
  readonly xAxis: Axis;
  readonly yAxis: Axis;
}

/** A line plot as SVG. null where there is nothing to draw. */
export function plotSvg(plot: Plot): Markup | null {
  const frame = frameOf(plot);
  if (frame === null) return null;
  return markup`<svg class="plot" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img"
    aria-labelledby="${plot.id}-title ${plot.id}-text">
    <title id="${plot.id}-title">${plot.title}</title><desc id="${plot.id}-text">${plot.description}</desc>
    ${gridSvg(frame)}${axesSvg(plot, frame)}
    ${markLabels(plot.marks, frame)}
    ${plot.series.map((series, index) => seriesSvg(series, index, frame))}
    ${plot.series.length > 1 ? keySvg(plot.series) : null}
  </svg>`;
}

function frameOf(plot: Plot): Frame | null {
  const times = plot.series.flatMap((series) => series.time_s);
  const values = plot.series.flatMap((series) => series.value.filter((value) => value !== null));
  if (values.length === 0) return null;
  const all = [...values, ...plot.marks.map((mark) => mark.value)];
  const xAxis = axisFor(least(times), most(times), 8);
  const yAxis = axisFor(least(all), most(all), 6);
  const wide = WIDTH - LEFT - RIGHT;
  const high = HEIGHT - TOP - BOTTOM;
  return {
    xAxis,
    yAxis,
    x: (time_s) => LEFT + ((time_s - xAxis.low) / (xAxis.high - xAxis.low)) * wide,
    y: (value) => TOP + (1 - (value - yAxis.low) / (yAxis.high - yAxis.low)) * high,
  };
}

function gridSvg({ x, y, xAxis, yAxis }: Frame): Markup[] {
  const [left, right] = [x(xAxis.low), x(xAxis.high)];
  const [top, bottom] = [y(yAxis.high), y(yAxis.low)];
  return [
    ...yAxis.ticks.map((tick) => {
      const at = n(y(tick));
      return markup`<line class="grid" x1="${n(left)}" x2="${n(right)}" y1="${at}" y2="${at}"/>
        <text class="tick" x="${n(left - 8)}" y="${n(y(tick) + 4)}" text-anchor="end">${tickText(tick, yAxis.step)}</text>`;
    }),
    ...xAxis.ticks.map((tick) => {
      const at = n(x(tick));
      return markup`<line class="grid" x1="${at}" x2="${at}" y1="${n(top)}" y2="${n(bottom)}"/>
        <text class="tick" x="${at}" y="${n(bottom + 18)}" text-anchor="middle">${tickText(tick, xAxis.step)}</text>`;
    }),
  ];
}

function axesSvg(plot: Plot, { x, y, xAxis, yAxis }: Frame): Markup {
  const middle = (y(yAxis.low) + y(yAxis.high)) / 2;
  return markup`<rect class="frame" x="${n(x(xAxis.low))}" y="${n(y(yAxis.high))}"
      width="${n(x(xAxis.high) - x(xAxis.low))}" height="${n(y(yAxis.low) - y(yAxis.high))}"/>
    <text class="axis" x="${n((x(xAxis.low) + x(xAxis.high)) / 2)}" y="${HEIGHT - 6}" text-anchor="middle">${plot.xTitle}</text>
    <text class="axis" transform="translate(14 ${n(middle)}) rotate(-90)" text-anchor="middle">${plot.yTitle}</text>`;
}

/** Level lines with their labels at the right, moved apart where they would overlap. */
function markLabels(marks: readonly PlotMark[], { x, y, xAxis }: Frame): Markup[] {
  let last = -Infinity;
  return [...marks]
    .sort((a, b) => b.value - a.value)
    .map((mark) => {
      const at = y(mark.value);
      last = Math.max(at + 4, last + 14);
      const right = x(xAxis.high);
      return markup`<line class="mark" x1="${n(x(xAxis.low))}" x2="${n(right)}" y1="${n(at)}" y2="${n(at)}"/>
        <path class="lead" d="M${n(right)} ${n(at)}L${n(right + 6)} ${n(last - 4)}"/>
        <text class="label" x="${n(right + 8)}" y="${n(last)}">${mark.label}</text>`;
    });
}

function seriesSvg(series: PlotSeries, index: number, frame: Frame): Markup {
  return markup`<path class="series s${index}" d="${pathOf(series, frame)}"/>`;
}

function pathOf({ time_s, value }: PlotSeries, { x, y }: Frame): string {
  const pen = new Pen(y);
  for (const [index, time] of time_s.entries()) {
    pen.to(Math.round(x(time) * 2) / 2, value[index] ?? null);
  }
  return pen.done();
}

/** Half a column of pixels costs four points at the most: first, least, greatest, last. */
class Pen {
  readonly #y: (value: number) => number;
  #path = "";
  #down = false;
  #column = NaN;
  #held: number[] = [];

  constructor(y: (value: number) => number) {
    this.#y = y;
  }

  to(column: number, value: number | null): void {
    if (column !== this.#column || value === null) this.#draw();
    this.#column = column;
    if (value === null) this.#down = false;
    else this.#held.push(value);
  }

  done(): string {
    this.#draw();
    return this.#path;
  }

  #draw(): void {
    const [first, last] = [this.#held[0], this.#held.at(-1)];
    if (first === undefined || last === undefined) return;
    const [low, high] = [least(this.#held), most(this.#held)];
    for (const value of low === high ? [first] : [first, low, high, last]) {
      this.#path += `${this.#down ? "L" : "M"}${n(this.#column)} ${n(this.#y(value))}`;
      this.#down = true;
    }
    this.#held = [];
  }
}

function keySvg(series: readonly PlotSeries[]): Markup[] {
  return series.map((each, index) => {
    const left = LEFT + index * 180;
    return markup`<path class="series s${index}" d="M${left} ${TOP - 14}h28"/>
      <text class="label" x="${left + 34}" y="${TOP - 10}">${each.label}</text>`;
  });
}

function least(values: readonly number[]): number {
  return values.reduce((low, value) => Math.min(low, value), Infinity);
}

function most(values: readonly number[]): number {
  return values.reduce((high, value) => Math.max(high, value), -Infinity);
}

/** A tenth of a unit is a fine line on paper; more digits are only bytes. */
function n(value: number): string {
  return String(Math.round(value * 10) / 10);
}
