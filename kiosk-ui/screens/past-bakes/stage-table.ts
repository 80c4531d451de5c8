import { thermocoupleWords } from "#kiosk-ui/components/thermocouple-words";
import {
  holdUncertaintyKelvin,
  plusMinusText,
  ratioRangeText,
  withinText,
} from "#kiosk-ui/components/uncertainty-text";
import {
  differenceWithUnit,
  durationText,
  numberText,
  percentText,
  pressureText,
  rateText,
  type TemperatureUnit,
  temperatureWithUnit,
} from "#kiosk-ui/format";
import { offsetText } from "#kiosk-ui/screens/past-bakes/bake-words";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import type { ClimbComparison, Comparison, HoldComparison } from "#shared/comparison";

/** A line of the table: what, as planned, as measured, and what is worth saying about it. */
export interface StageRow {
  readonly stage: string;
  readonly planned: string;
  readonly actual: string;
  readonly remark: string;
}

/** Shorter differences than this go without saying, s. */
const WORTH_SAYING_SECONDS = 1.5;
/** Smaller ones than this too, K. */
const WORTH_SAYING_KELVIN = 0.5;

/** A bake stage by stage, then its vacuum, heat work and gaps, planned beside measured. */
export function stageRows(comparison: Comparison, unit: TemperatureUnit): StageRow[] {
  const isSeveral = comparison.climbs.length > 1;
  const legRows = comparison.climbs.flatMap((climb) => {
    const hold = comparison.holds.find(({ index }) => index === climb.index);
    const rows = [climbRow(climb, unit, isSeveral)];
    if (!hold || hold.planned.lengthSeconds === 0) return rows;
    const sureKelvin = holdUncertaintyKelvin(comparison.uncertainty, hold.index);
    return [...rows, holdRow(hold, unit, isSeveral, sureKelvin)];
  });
  return [
    dryingRow(comparison),
    ...legRows,
    coolingRow(comparison, unit),
    vacuumRow(comparison, unit),
    peakRow(comparison, unit),
    heatWorkRow(comparison, unit),
    gapRow(comparison),
  ];
}

function dryingRow({ drying }: Comparison): StageRow {
  const actualSeconds = drying.actual?.lengthSeconds ?? null;
  return {
    stage: words.drying,
    planned: durationText(drying.planned.lengthSeconds),
    actual: actualSeconds === null ? words.notSeen : durationText(actualSeconds),
    remark: actualSeconds === null ? "" : lengthRemark(actualSeconds - drying.planned.lengthSeconds),
  };
}

function climbRow(climb: ClimbComparison, unit: TemperatureUnit, isSeveral: boolean): StageRow {
  const { planned, actual, lagKelvin } = climb;
  const rate = actual?.kelvinPerMinute ?? null;
  const lag = lagKelvin === null || Math.abs(lagKelvin) < WORTH_SAYING_KELVIN ? null : lagKelvin;
  return {
    stage: words.climb(climb.index, isSeveral),
    planned: `${rateText(planned.kelvinPerMinute, unit)}, ${durationText(planned.lengthSeconds)}`,
    actual: actual
      ? `${rate === null ? "–" : rateText(rate, unit)}, ${durationText(actual.lengthSeconds)}`
      : words.notSeen,
    remark: joined(
      actual ? lengthRemark(actual.lengthSeconds - planned.lengthSeconds) : "",
      lag === null ? "" : (lag > 0 ? words.behind : words.ahead)(differenceWithUnit(lag, unit)),
    ),
  };
}

function holdRow(
  hold: HoldComparison,
  unit: TemperatureUnit,
  isSeveral: boolean,
  sureKelvin: number | null,
): StageRow {
  const { actual, planned } = hold;
  const mean = actual?.meanCelsius ?? null;
  const off = mean === null ? 0 : mean - hold.celsius;
  const sure = (kelvin: number) => inBrackets(withinText(kelvin, sureKelvin, unit));
  return {
    stage: words.hold(hold.index, isSeveral),
    planned: `${temperatureWithUnit(hold.celsius, unit)}, ${durationText(planned.lengthSeconds)}`,
    actual: actual
      ? `${mean === null ? "–" : measured(mean, sureKelvin, unit)}, ${durationText(actual.lengthSeconds)}`
      : words.notReached,
    remark: joined(
      actual ? words.inBand(durationText(actual.secondsInBand)) : "",
      Math.abs(off) >= WORTH_SAYING_KELVIN
        ? `${(off > 0 ? words.meanAbove : words.meanBelow)(differenceWithUnit(off, unit, 1))}${sure(off)}`
        : "",
      hold.overshootKelvin >= WORTH_SAYING_KELVIN
        ? `${words.over(differenceWithUnit(hold.overshootKelvin, unit, 1), durationText(hold.overshootSeconds))}${sure(hold.overshootKelvin)}`
        : "",
      hold.undershootKelvin >= WORTH_SAYING_KELVIN
        ? `${words.under(differenceWithUnit(hold.undershootKelvin, unit, 1))}${sure(hold.undershootKelvin)}`
        : "",
    ),
  };
}

function coolingRow({ cooling }: Comparison, unit: TemperatureUnit): StageRow {
  const { planned, actual } = cooling;
  const to = planned.toCelsius === null ? "" : ` ${words.to} ${temperatureWithUnit(planned.toCelsius, unit)}`;
  const rate = actual?.kelvinPerMinute ?? null;
  return {
    stage: words.cooling,
    planned: `${planned.kelvinPerMinute === null ? words.free : rateText(planned.kelvinPerMinute, unit)}${to}`,
    actual: rate === null ? words.notSeen : rateText(rate, unit),
    remark: "",
  };
}

function vacuumRow({ vacuum }: Comparison, unit: TemperatureUnit): StageRow {
  const { planned, actual, isMeasured } = vacuum;
  const span = (level: number, on: number, release: number | null) =>
    `${pressureText(level)}, ${temperatureWithUnit(on, unit)} ${words.to} ${release === null ? "–" : temperatureWithUnit(release, unit)}`;
  return {
    stage: words.vacuum,
    planned: planned
      ? span(planned.levelHectopascals, planned.onAtCelsius, planned.releaseCelsius)
      : words.none,
    actual: actual
      ? span(actual.levelHectopascals, actual.onAtCelsius, actual.releaseCelsius)
      : isMeasured
        ? words.notSeen
        : words.notMeasured,
    remark: !actual
      ? ""
      : actual.pumpDownSeconds === null
        ? words.neverPumpedDown
        : words.pumpDown(durationText(actual.pumpDownSeconds)),
  };
}

function peakRow({ peakCelsius, holds, uncertainty }: Comparison, unit: TemperatureUnit): StageRow {
  const factor = uncertainty ? ` ${thermocoupleWords.factor(uncertainty.coverageFactor)}` : "";
  const sureKelvin = uncertainty?.topKelvin ?? null;
  return {
    stage: words.peak,
    planned:
      holds.length === 0 ? "–" : temperatureWithUnit(Math.max(...holds.map(({ celsius }) => celsius)), unit),
    actual: peakCelsius === null ? words.notSeen : `${measured(peakCelsius, sureKelvin, unit)}${factor}`,
    remark: "",
  };
}

function heatWorkRow({ heatWork, uncertainty }: Comparison, unit: TemperatureUnit): StageRow {
  const reference = temperatureWithUnit(heatWork.referenceCelsius, unit);
  const amount = (seconds: number) => words.equivalentSeconds(`${numberText(seconds)} s`, reference);
  return {
    stage: words.heatWorkRow,
    planned: amount(heatWork.plannedEquivalentSeconds),
    actual: amount(heatWork.deliveredEquivalentSeconds),
    remark: joined(
      heatWork.ratio === null
        ? ""
        : [`${percentText(heatWork.ratio)} %`, ratioRangeText(uncertainty)].filter(Boolean).join(", "),
      offsetText(heatWork.equivalentOffsetKelvin, unit),
    ),
  };
}

function gapRow({ gaps }: Comparison): StageRow {
  const seconds = gaps.reduce((sum, gap) => sum + gap.toSeconds - gap.fromSeconds, 0);
  return {
    stage: words.gaps,
    planned: words.noGaps,
    actual: gaps.length === 0 ? words.noGaps : `${gaps.length}, ${durationText(seconds)}`,
    remark: "",
  };
}

/** A temperature and how sure it is: "760.4 °C ± 3.9 K". */
function measured(celsius: number, sureKelvin: number | null, unit: TemperatureUnit): string {
  const temperature = temperatureWithUnit(celsius, unit, 1);
  return sureKelvin === null ? temperature : `${temperature} ${plusMinusText(sureKelvin, unit)}`;
}

function inBrackets(text: string): string {
  return text === "" ? "" : ` (${text})`;
}

function lengthRemark(seconds: number): string {
  if (Math.abs(seconds) < WORTH_SAYING_SECONDS) return "";
  return (seconds > 0 ? words.longer : words.shorter)(durationText(Math.abs(seconds)));
}

function joined(...parts: readonly string[]): string {
  return parts.filter((part) => part !== "").join("; ");
}
