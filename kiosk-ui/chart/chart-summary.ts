import { setpointCurve } from "#core/plan/setpoint";
import { type ChartSubject, celsiusAt } from "#kiosk-ui/chart/chart-scene";
import { differenceWords, chartWords as words } from "#kiosk-ui/chart/chart-words";
import {
  durationText,
  numberText,
  percentText,
  type TemperatureUnit,
  temperatureText,
  temperatureWithUnit,
} from "#kiosk-ui/format";

/** The chart in a few sentences, with its numbers, for those who do not see it. */
export function chartSummary(subject: ChartSubject, unit: TemperatureUnit): string {
  return [
    newestSentence(subject, unit),
    comingSentence(subject, unit),
    peakSentence(subject, unit),
    heatWorkSentence(subject),
    gapSentence(subject),
    overlaySentence(subject, unit),
  ]
    .filter((sentence) => sentence !== "")
    .join(" ");
}

function newestSentence({ plan, samples, comparison, isLive }: ChartSubject, unit: TemperatureUnit): string {
  const newest = samples.at(-1);
  if (!newest) return plan ? `${words.nothingYet} ${words.planCalled(plan.name)}` : words.nothingYet;
  const temperature = temperatureWithUnit(newest.celsius, unit);
  const begin = (isLive ? words.now : words.ended)(temperature, durationText(newest.atSeconds));
  if (!plan) return `${begin}. ${words.noPlan}`;
  const zeroSeconds = comparison?.planZeroSeconds ?? 0;
  const planned = celsiusAt(setpointCurve(plan), newest.atSeconds - zeroSeconds);
  if (planned === null) return `${begin}.`;
  const difference = differenceWords(newest.celsius - planned, unit);
  return `${begin}, ${words.beside(temperatureText(planned, unit), difference)}.`;
}

function comingSentence({ comingPeak }: ChartSubject, unit: TemperatureUnit): string {
  if (!comingPeak) return "";
  return words.coming(temperatureWithUnit(comingPeak.celsius, unit), durationText(comingPeak.inSeconds));
}

function peakSentence({ comparison, isLive }: ChartSubject, unit: TemperatureUnit): string {
  if (isLive || !comparison || comparison.peakCelsius === null) return "";
  const temperature = temperatureWithUnit(comparison.peakCelsius, unit);
  return comparison.peakAtSeconds === null
    ? words.peak(temperature)
    : words.peakAt(temperature, durationText(comparison.peakAtSeconds));
}

function heatWorkSentence({ comparison }: ChartSubject): string {
  const ratio = comparison?.heatWork.ratio ?? null;
  return ratio === null ? "" : words.heatWork(percentText(ratio));
}

function gapSentence({ comparison }: ChartSubject): string {
  const gaps = comparison?.gaps ?? [];
  const seconds = gaps.reduce((sum, gap) => sum + gap.toSeconds - gap.fromSeconds, 0);
  return gaps.length === 0 ? "" : words.gaps(gaps.length, numberText(seconds));
}

function overlaySentence({ overlay, overlayComparison }: ChartSubject, unit: TemperatureUnit): string {
  if (!overlay || overlay.length === 0) return "";
  const highest = overlay.reduce((most, { celsius }) => Math.max(most, celsius), Number.NEGATIVE_INFINITY);
  return words.overlay(temperatureWithUnit(overlayComparison?.peakCelsius ?? highest, unit));
}
