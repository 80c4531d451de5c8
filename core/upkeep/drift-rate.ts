import { straightLine } from "#core/statistics/straight-line";
import { COVERAGE_FACTOR } from "#core/thermocouple/uncertainty";

/** A month of the year's average length. */
const DAYS_A_MONTH = 365.25 / 12;

/** A drift is told from so many checks at least, over so many days. */
const LEAST_CHECKS = 3;
const LEAST_DAYS = 14;

/** How far off a check found the uncorrected reading. */
export interface DriftPoint {
  readonly atDays: number;
  readonly differenceKelvin: number;
  /** Expanded, k = 2. */
  readonly expandedKelvin: number;
}

/** How fast a probe drifts. */
export interface DriftRate {
  readonly kelvinPerMonth: number;
  /** Expanded, k = 2. */
  readonly expandedKelvinPerMonth: number;
}

/**
 * How fast a probe drifts: the slope of a straight line through its checks, as unsure as the checks scatter
 * about it or as they are themselves, whichever is more.
 * @returns null for fewer than three checks, or within two weeks
 * @example driftRate([0, 30, 61].map((atDays) => ({ atDays, differenceKelvin: 1, expandedKelvin: 0.7 })))?.kelvinPerMonth // 0
 */
export function driftRate(points: readonly DriftPoint[]): DriftRate | null {
  const days = points.map(({ atDays }) => atDays);
  const firstDay = Math.min(...days);
  if (points.length < LEAST_CHECKS || Math.max(...days) - firstDay < LEAST_DAYS) return null;
  const line = straightLine(
    points.map(({ atDays, differenceKelvin }) => ({ x: atDays, y: differenceKelvin })),
    firstDay,
  );
  const meanDay = days.reduce((sum, day) => sum + day, 0) / days.length;
  const spread = days.reduce((sum, day) => sum + (day - meanDay) ** 2, 0);
  const widest = Math.max(...points.map(({ expandedKelvin }) => expandedKelvin));
  const ofChecks = widest / COVERAGE_FACTOR / Math.sqrt(spread);
  const standard = Math.max(line.slopeStandardError, ofChecks);
  return {
    kelvinPerMonth: line.slope * DAYS_A_MONTH,
    expandedKelvinPerMonth: COVERAGE_FACTOR * standard * DAYS_A_MONTH,
  };
}
