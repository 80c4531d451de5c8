import { driftRate } from "#core/upkeep/drift-rate";
import { differenceWithUnit, type TemperatureUnit } from "#kiosk-ui/format";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import type { DriftScene } from "#kiosk-ui/screens/upkeep/drift-scene";
import { checkDayText, daysAgoText } from "#kiosk-ui/screens/upkeep/probe-text";

const words = checkWords.drift;
const DAY_MILLISECONDS = 86_400_000;

/** How far off, in words: "2.1 K high". */
export function offText(kelvin: number, unit: TemperatureUnit): string {
  if (Math.abs(kelvin) < 0.05) return words.right;
  const amount = differenceWithUnit(kelvin, unit, 1);
  return kelvin > 0 ? words.high(amount) : words.low(amount);
}

/** How fast a probe drifts, "0.6 K ± 0.2 K a month"; null where too few checks tell. */
export function driftRateText(scene: DriftScene | null, unit: TemperatureUnit): string | null {
  const rate = driftRate(
    (scene?.dots ?? []).map(({ atEpochMilliseconds, differenceKelvin, expandedKelvin }) => ({
      atDays: atEpochMilliseconds / DAY_MILLISECONDS,
      differenceKelvin,
      expandedKelvin,
    })),
  );
  if (!rate) return null;
  const amount = differenceWithUnit(Math.abs(rate.kelvinPerMonth), unit, 1);
  const sign = rate.kelvinPerMonth < 0 ? "−" : "+";
  return words.rate(`${sign}${amount}`, differenceWithUnit(rate.expandedKelvinPerMonth, unit, 1));
}

/** The drift plot in words, for those who do not see it. */
export function driftSummary(
  scene: DriftScene | null,
  nowEpochMilliseconds: number,
  unit: TemperatureUnit,
): string {
  const newest = scene?.dots.at(-1);
  const first = scene?.dots[0];
  if (!scene || !newest || !first) return words.summary.none;
  const day = (at: number) => checkDayText(at, nowEpochMilliseconds);
  const differences = scene.dots.map(({ differenceKelvin }) => differenceKelvin);
  const outside = scene.dots.filter(({ isOutside }) => isOutside).length;
  const rate = driftRateText(scene, unit);
  const accepted = scene.dots.filter(({ isAccepted }) => isAccepted);
  return [
    words.summary.count(scene.dots.length, day(first.atEpochMilliseconds)),
    words.summary.newest(
      offText(newest.differenceKelvin, unit),
      differenceWithUnit(newest.expandedKelvin, unit, 1),
      daysAgoText(newest.atEpochMilliseconds, nowEpochMilliseconds),
    ),
    rate !== null && words.summary.rate(rate),
    scene.dots.length > 1 &&
      words.summary.span(offText(Math.min(...differences), unit), offText(Math.max(...differences), unit)),
    outside > 0 && words.summary.outside(outside),
    accepted.length > 0 &&
      words.summary.accepted(accepted.map(({ atEpochMilliseconds: at }) => day(at)).join(", ")),
  ]
    .filter(Boolean)
    .join(" ");
}
