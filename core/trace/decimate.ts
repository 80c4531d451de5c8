import type { Trace } from "#core/trace/trace";

/** A stretch of time, s. */
export interface TimeWindow {
  readonly fromSeconds: number;
  readonly toSeconds: number;
}

/**
 * A trace thinned for a picture: of every pixel column the first, lowest, highest and last sample stay, so
 * lone spikes and the two sides of every gap wider than a column stay too. Only for drawing, never for reckoning.
 *
 *     ....|..'.|....     →     . .|. '|. .
 *
 * @param trace    °C over seconds, in rising time
 * @param columns  pixel columns of the window
 * @param window   what is shown; one sample on either side stays, so that lines run on to the edges
 * @returns samples of the trace itself, in rising time; all of them where they are few
 * @throws RangeError when there is not at least one column
 * @example decimate([{ atSeconds: 0, celsius: 20 }, { atSeconds: 1, celsius: 25 }], 100) // [{ atSeconds: 0, celsius: 20 }, { atSeconds: 1, celsius: 25 }]
 */
export function decimate(trace: Trace, columns: number, window?: TimeWindow): Trace {
  if (!(columns >= 1)) throw new RangeError(`decimate requires at least 1 column, got ${columns}`);
  const start = window ? Math.max(0, firstAtOrAfter(trace, window.fromSeconds) - 1) : 0;
  const end = window ? Math.min(trace.length, firstAfter(trace, window.toSeconds) + 1) : trace.length;
  const first = trace[start];
  const last = trace[end - 1];
  if (!first || !last || end - start <= 4 * columns)
    return start === 0 && end === trace.length ? trace : trace.slice(start, end);
  const columnSeconds = (last.atSeconds - first.atSeconds) / columns;
  const kept: Trace[number][] = [];
  let from = start;
  while (from < end) {
    const to = columnEnd(trace, from, end, first.atSeconds, columnSeconds);
    keepColumn(trace, from, to, kept);
    from = to;
  }
  return kept;
}

/** Index of the first sample that no longer lies in the column of sample `from`. */
function columnEnd(trace: Trace, from: number, end: number, zeroSeconds: number, columnSeconds: number) {
  const columnAt = (index: number) =>
    Math.floor(((trace[index]?.atSeconds ?? 0) - zeroSeconds) / columnSeconds);
  const column = columnAt(from);
  let to = from + 1;
  while (to < end && columnAt(to) === column) to++;
  return to;
}

function keepColumn(trace: Trace, from: number, to: number, kept: Trace[number][]) {
  let lowest = from;
  let highest = from;
  for (let index = from; index < to; index++) {
    const celsius = trace[index]?.celsius ?? 0;
    if (celsius < (trace[lowest]?.celsius ?? 0)) lowest = index;
    if (celsius > (trace[highest]?.celsius ?? 0)) highest = index;
  }
  const indices = [from, Math.min(lowest, highest), Math.max(lowest, highest), to - 1];
  let previous = -1;
  for (const index of indices) {
    const sample = trace[index];
    if (sample && index > previous) kept.push(sample);
    previous = Math.max(previous, index);
  }
}

/** Index of the first sample at or after a moment; the length where there is none. */
function firstAtOrAfter(trace: Trace, atSeconds: number): number {
  let low = 0;
  let high = trace.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((trace[middle]?.atSeconds ?? 0) < atSeconds) low = middle + 1;
    else high = middle;
  }
  return low;
}

function firstAfter(trace: Trace, atSeconds: number): number {
  let index = firstAtOrAfter(trace, atSeconds);
  while (index < trace.length && trace[index]?.atSeconds === atSeconds) index++;
  return index;
}
