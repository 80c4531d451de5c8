import { type Line, leastSquaresLine, pointsAround, type TracePoint } from "#core/trace/slope";
import { type Trace, usualStepSeconds } from "#core/trace/trace";

/** A stretch of a trace in which it climbs, holds or cools, found without any plan. */
export interface Segment {
  readonly kind: "climb" | "hold" | "cool";
  readonly fromSeconds: number;
  readonly toSeconds: number;
  readonly fromCelsius: number;
  readonly toCelsius: number;
  /** Least-squares slope of the middle of a climb or cooling; of the whole of a hold. */
  readonly kelvinPerMinute: number;
}

/** Slopes are taken over at least this much to either side, s. */
const REACH_SECONDS = 12;

/** Slower than this is a hold, K/min: the slowest climb of the trade is ten times as fast. */
const HOLD_KELVIN_PER_MINUTE = 1.5;

/** A climb or cooling moves at least this far, K; less is a ripple in a hold. */
const SMALLEST_MOVE_KELVIN = 8;

/** A hold shorter than this, between two moves the same way, is a hesitation, s. */
const SHORTEST_HOLD_SECONDS = 20;

/**
 * A trace split into climbs, holds and coolings without knowing the plan: by its slope, with the corners
 * set where the straight lines of neighbours meet.
 * @param trace  °C over seconds in rising time, smoothed
 * @returns segments end to end, in rising time; empty for fewer than five samples
 */
export function segments(trace: Trace): Segment[] {
  if (trace.length < 5) return [];
  const reachSeconds = Math.max(REACH_SECONDS, 3 * usualStepSeconds(trace));
  const kinds = trace.map((_, index) => kindAt(trace, index, reachSeconds));
  const runs = mergedRuns(trace, runsOf(kinds));
  return withCorners(trace, runs);
}

interface Run {
  readonly kind: Segment["kind"];
  readonly first: number;
  readonly last: number;
}

function kindAt(trace: Trace, index: number, reachSeconds: number): Segment["kind"] {
  const around = pointsAround(trace, index, trace[index]?.atSeconds ?? 0, reachSeconds);
  const slope = (leastSquaresLine(around)?.kelvinPerSecond ?? 0) * 60;
  if (slope > HOLD_KELVIN_PER_MINUTE) return "climb";
  return slope < -HOLD_KELVIN_PER_MINUTE ? "cool" : "hold";
}

function runsOf(kinds: readonly Segment["kind"][]): Run[] {
  const runs: Run[] = [];
  kinds.forEach((kind, index) => {
    const open = runs.at(-1);
    if (open?.kind === kind) runs[runs.length - 1] = { ...open, last: index };
    else runs.push({ kind, first: index, last: index });
  });
  return runs;
}

/** Ripples and hesitations go to their neighbours, the smallest first, until none is left. */
function mergedRuns(trace: Trace, runs: readonly Run[]): Run[] {
  let merged = [...runs];
  for (;;) {
    const index = merged.findIndex((run, at) => merged.length > 1 && isSlight(trace, merged, run, at));
    const run = merged[index];
    if (!run) return merged;
    const kind = run.kind === "hold" ? (merged[index - 1]?.kind ?? "hold") : "hold";
    merged = joined(merged.map((other, at) => (at === index ? { ...other, kind } : other)));
  }
}

function isSlight(trace: Trace, runs: readonly Run[], run: Run, at: number): boolean {
  const first = trace[run.first];
  const last = trace[run.last];
  if (!first || !last) return false;
  if (run.kind !== "hold") return Math.abs(last.celsius - first.celsius) < SMALLEST_MOVE_KELVIN;
  const before = runs[at - 1]?.kind;
  return (
    before !== undefined &&
    before === runs[at + 1]?.kind &&
    last.atSeconds - first.atSeconds < SHORTEST_HOLD_SECONDS
  );
}

function joined(runs: readonly Run[]): Run[] {
  const result: Run[] = [];
  for (const run of runs) {
    const before = result.at(-1);
    if (before?.kind === run.kind) result[result.length - 1] = { ...before, last: run.last };
    else result.push(run);
  }
  return result;
}

function withCorners(trace: Trace, runs: readonly Run[]): Segment[] {
  const corners = runs.slice(1).map((run, index) => {
    const before = runs[index];
    const edge = trace[run.first]?.atSeconds ?? 0;
    if (!before) return edge;
    return meeting(lineOf(trace, before, "last"), lineOf(trace, run, "first"), edge, trace, before, run);
  });
  return runs.map((run, index) => {
    const fromSeconds = corners[index - 1] ?? trace[run.first]?.atSeconds ?? 0;
    const toSeconds = corners[index] ?? trace[run.last]?.atSeconds ?? 0;
    const middle = middleOf(trace, run);
    const line = leastSquaresLine(middle);
    return {
      kind: run.kind,
      fromSeconds,
      toSeconds,
      fromCelsius: trace[run.first]?.celsius ?? 0,
      toCelsius: trace[run.last]?.celsius ?? 0,
      kelvinPerMinute: (line?.kelvinPerSecond ?? 0) * 60,
    };
  });
}

/** The points of a run between 10 % and 90 % of its move; of a hold, all of them. */
function middleOf(trace: Trace, run: Run): TracePoint[] {
  const points = trace.slice(run.first, run.last + 1);
  const from = points[0]?.celsius ?? 0;
  const to = points.at(-1)?.celsius ?? 0;
  if (run.kind === "hold" || from === to) return points;
  return points.filter(({ celsius }) => {
    const share = (celsius - from) / (to - from);
    return share >= 0.1 && share <= 0.9;
  });
}

/** The line of that half of a run which lies towards its neighbour. */
function lineOf(trace: Trace, run: Run, end: "first" | "last"): Line | null {
  const middle = middleOf(trace, run);
  const half = Math.ceil(middle.length / 2);
  return leastSquaresLine(end === "first" ? middle.slice(0, half) : middle.slice(-half));
}

function meeting(
  before: Line | null,
  after: Line | null,
  edgeSeconds: number,
  trace: Trace,
  runBefore: Run,
  runAfter: Run,
): number {
  if (!before || !after || before.kelvinPerSecond === after.kelvinPerSecond) return edgeSeconds;
  const atSeconds =
    (after.celsius -
      after.kelvinPerSecond * after.atSeconds -
      before.celsius +
      before.kelvinPerSecond * before.atSeconds) /
    (before.kelvinPerSecond - after.kelvinPerSecond);
  const earliest = trace[runBefore.first]?.atSeconds ?? edgeSeconds;
  const latest = trace[runAfter.last]?.atSeconds ?? edgeSeconds;
  return atSeconds > earliest && atSeconds < latest ? atSeconds : edgeSeconds;
}
