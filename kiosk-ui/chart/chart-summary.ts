import { setpointCurve } from "#core/plan/setpoint";
import type { TemperatureUnit } from "#kiosk-ui/chart/axis-splits";
import type { ChartSubject } from "#kiosk-ui/chart/chart-scene";
import { celsiusAt } from "#kiosk-ui/chart/chart-scene";
import {
  chartWords,
  shownClock,
  shownDifference,
  shownTemperature,
  unitSign,
} from "#kiosk-ui/chart/chart-words";

/** The chart in a few sentences, with its numbers, for those who do not see it. */
export function chartSummary(subject: ChartSubject, unit: TemperatureUnit): string {
  return [
    newestSentence(subject, unit),
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
  if (!newest) return plan ? `${chartWords.nothingYet} Plan: ${plan.name}.` : chartWords.nothingYet;
  const at = `${shownTemperature(newest.celsius, unit)} ${unitSign(unit)} at ${shownClock(newest.atSeconds)}`;
  const begin = isLive ? `Chamber ${at}` : `Ended at ${at}`;
  if (!plan) return `${begin}. ${chartWords.noPlan}`;
  const zeroSeconds = comparison?.planZeroSeconds ?? 0;
  const planned = celsiusAt(setpointCurve(plan), newest.atSeconds - zeroSeconds);
  if (planned === null) return `${begin}.`;
  const difference = shownDifference(newest.celsius - planned, unit);
  return `${begin}, plan ${shownTemperature(planned, unit)}, ${difference}.`;
}

function peakSentence({ comparison, isLive }: ChartSubject, unit: TemperatureUnit): string {
  if (isLive || !comparison || comparison.peakCelsius === null) return "";
  const at = comparison.peakAtSeconds === null ? "" : ` at ${shownClock(comparison.peakAtSeconds)}`;
  return `Peak ${shownTemperature(comparison.peakCelsius, unit)} ${unitSign(unit)}${at}.`;
}

function heatWorkSentence({ comparison }: ChartSubject): string {
  const ratio = comparison?.heatWork.ratio ?? null;
  return ratio === null ? "" : `Heat work ${Math.round(ratio * 100)} % of the plan.`;
}

function gapSentence({ comparison }: ChartSubject): string {
  const gaps = comparison?.gaps ?? [];
  if (gaps.length === 0) return "";
  const seconds = gaps.reduce((sum, gap) => sum + gap.toSeconds - gap.fromSeconds, 0);
  return `${gaps.length === 1 ? "One gap" : `${gaps.length} gaps`}, ${Math.round(seconds)} s not measured.`;
}

function overlaySentence({ overlay, overlayComparison }: ChartSubject, unit: TemperatureUnit): string {
  if (!overlay || overlay.length === 0) return "";
  const peak = overlayComparison?.peakCelsius ?? Math.max(...overlay.map(({ celsius }) => celsius));
  return `Laid over it: a second bake with a peak of ${shownTemperature(peak, unit)} ${unitSign(unit)}.`;
}
