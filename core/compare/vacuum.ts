import { valueAt } from "#core/compare/hold";
import { legs, type Plan } from "#core/plan/plan";
import type { TracePoint } from "#core/trace/slope";
import type { Trace } from "#core/trace/trace";

/** A vacuum as it was measured. */
export interface VacuumSeen {
  /** False when the trace begins with the pump running already. */
  readonly isStartSeen: boolean;
  readonly onAtSeconds: number;
  readonly onAtCelsius: number;
  /** The lowest absolute pressure, hPa. */
  readonly levelHectopascals: number;
  /** From the start until the planned level; null when that was never reached. */
  readonly pumpDownSeconds: number | null;
  readonly releaseAtSeconds: number | null;
  /** Pressure at that moment, hPa: more than the lowest where the chamber leaks. */
  readonly hectopascalsAtRelease: number | null;
  readonly releaseCelsius: number | null;
}

/** A chamber that never loses this share of its air was not pumped. */
const SMALLEST_DROP_FRACTION = 0.3;

/** Pressure leaves the air's, and the vacuum's, by this share of the way between the two. */
const LEAVING_FRACTION = 0.05;

/** Air that is let in rises by more than this share of the way a second; a leak creeps. */
const STEEP_FRACTION_PER_SECOND = 0.01;

/** A planned level counts as reached this close above it. */
const LEVEL_TOLERANCE_FRACTION = 0.05;
const LEVEL_TOLERANCE_HECTOPASCALS = 2;

/** Whether a trace carries pressure at all. */
export function isPressureMeasured(trace: Trace): boolean {
  return trace.filter((sample) => sample.hectopascals !== undefined).length >= 2;
}

/**
 * The vacuum in a trace: from the last moment at the air's pressure to the first clear rise from the
 * lowest. The bake has one vacuum window; of several the deepest counts.
 * @param trace             °C and hPa over seconds
 * @param points            the same temperatures, smoothed
 * @param levelHectopascals the planned level; where none is planned, the lowest pressure seen stands for it
 * @returns null when nothing like a vacuum is there
 */
export function vacuumSeen(
  trace: Trace,
  points: readonly TracePoint[],
  levelHectopascals: number | null,
): VacuumSeen | null {
  const pressures = trace.flatMap(({ atSeconds, hectopascals }) =>
    hectopascals === undefined ? [] : [{ atSeconds, hectopascals }],
  );
  if (pressures.length < 2) return null;
  const sorted = pressures.map((p) => p.hectopascals).sort((a, b) => a - b);
  const air = sorted[Math.floor(0.98 * (sorted.length - 1))] ?? 0;
  const lowest = sorted[0] ?? 0;
  if (lowest > air * (1 - SMALLEST_DROP_FRACTION)) return null;
  const lowestIndex = pressures.findIndex((p) => p.hectopascals === lowest);
  const leaving = LEAVING_FRACTION * (air - lowest);
  const onIndex = pressures.findLastIndex(
    (p, index) => index < lowestIndex && p.hectopascals >= air - leaving,
  );
  const on = pressures[Math.max(0, onIndex)];
  if (!on) return null;
  const wanted = levelHectopascals ?? lowest;
  const reachedBelow = wanted * (1 + LEVEL_TOLERANCE_FRACTION) + LEVEL_TOLERANCE_HECTOPASCALS;
  const reached = pressures.find((p, index) => index > onIndex && p.hectopascals <= reachedBelow);
  const release = releasedAt(pressures, lowestIndex, air, lowest);
  return {
    isStartSeen: onIndex >= 0,
    onAtSeconds: on.atSeconds,
    onAtCelsius: celsiusAt(points, on.atSeconds),
    levelHectopascals: lowest,
    pumpDownSeconds: reached ? reached.atSeconds - on.atSeconds : null,
    releaseAtSeconds: release?.atSeconds ?? null,
    hectopascalsAtRelease: release?.hectopascals ?? null,
    releaseCelsius: release ? celsiusAt(points, release.atSeconds) : null,
  };
}

/**
 * The chamber temperature at which a plan lets air in: that of the hold named, or the one given, °C.
 * @example plannedReleaseCelsius({ name: "t", dryingSeconds: 0, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }], vacuum: { onAtCelsius: 510, levelHectopascals: 30, release: { kind: "hold-start", hold: 1 } }, cooling: { kind: "free" } }) // 760
 */
export function plannedReleaseCelsius(plan: Plan): number | null {
  const release = plan.vacuum?.release;
  if (!release) return null;
  if (release.kind === "at-temperature") return release.celsius;
  return legs(plan)[release.hold - 1]?.toCelsius ?? null;
}

interface Pressure {
  readonly atSeconds: number;
  readonly hectopascals: number;
}

/** The last moment of the vacuum: from there on pressure rises steeply, past half way to the air's. */
function releasedAt(
  pressures: readonly Pressure[],
  lowestIndex: number,
  air: number,
  lowest: number,
): Pressure | null {
  let index = pressures.findIndex((p, at) => at > lowestIndex && p.hectopascals >= (air + lowest) / 2);
  if (index < 0) return null;
  const steep = STEEP_FRACTION_PER_SECOND * (air - lowest);
  while (index > lowestIndex) {
    const from = pressures[index - 1];
    const to = pressures[index];
    if (!from || !to || to.hectopascals - from.hectopascals < steep * (to.atSeconds - from.atSeconds)) break;
    index--;
  }
  return pressures[index] ?? null;
}

function celsiusAt(points: readonly TracePoint[], atSeconds: number): number {
  return valueAt(points, atSeconds)?.celsius ?? points[0]?.celsius ?? 0;
}
