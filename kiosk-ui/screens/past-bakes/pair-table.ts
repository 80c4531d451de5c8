import {
  differenceWithUnit,
  durationText,
  numberText,
  pressureText,
  type TemperatureUnit,
  temperatureWithUnit,
} from "#kiosk-ui/format";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import type { Comparison } from "#shared/comparison";

/** A line of what differs: both bakes, and the second against the first in words. */
export interface PairRow {
  readonly name: string;
  readonly first: string;
  readonly second: string;
  readonly difference: string;
}

interface Measure {
  readonly name: string;
  readonly of: (comparison: Comparison) => number | null | undefined;
  readonly shown: (value: number) => string;
  /** Values are compared as they are shown: in steps of this. */
  readonly step: number;
  /** The difference's amount, without its sign; it counts as none when it reads as none. */
  readonly amount: (difference: number) => string;
  readonly words: { readonly more: (amount: string) => string; readonly less: (amount: string) => string };
}

/**
 * What differs between two bakes: peak, climbs, holds, heat work and vacuum.
 * A line that neither bake has is left out; what only one has is shown without a difference.
 */
export function pairRows(
  first: Comparison | null,
  second: Comparison | null,
  unit: TemperatureUnit,
): PairRow[] {
  const legCount = Math.max(first?.climbs.length ?? 0, second?.climbs.length ?? 0);
  return measures(legCount, unit).flatMap((measure) => {
    const one = first ? (measure.of(first) ?? null) : null;
    const other = second ? (measure.of(second) ?? null) : null;
    if (one === null && other === null) return [];
    return {
      name: measure.name,
      first: one === null ? "–" : measure.shown(one),
      second: other === null ? "–" : measure.shown(other),
      difference: one === null || other === null ? "" : differenceText(measure, one, other),
    };
  });
}

function measures(legCount: number, unit: TemperatureUnit): Measure[] {
  const tenthKelvin = unit === "fahrenheit" ? 0.1 / 1.8 : 0.1;
  const temperature = {
    shown: (celsius: number) => temperatureWithUnit(celsius, unit, 1),
    step: tenthKelvin,
    amount: (kelvin: number) => differenceWithUnit(kelvin, unit, 1),
    words: { more: words.higher, less: words.lower },
  };
  const length = {
    shown: durationText,
    step: 1,
    amount: (seconds: number) => durationText(Math.abs(seconds)),
    words: { more: words.longer, less: words.shorter },
  };
  const places = Array.from({ length: legCount }, (_, place) => place + 1);
  const isSeveral = legCount > 1;
  return [
    { name: words.peak, of: ({ peakCelsius }) => peakCelsius, ...temperature },
    ...places.flatMap((index): Measure[] => [
      {
        name: words.climbRate(index, isSeveral),
        of: ({ climbs }) => climbs.find((climb) => climb.index === index)?.actual?.kelvinPerMinute,
        shown: (rate) => `${differenceWithUnit(rate, unit, 1)}/min`,
        step: tenthKelvin,
        amount: (rate) => `${differenceWithUnit(rate, unit, 1)}/min`,
        words: { more: words.faster, less: words.slower },
      },
      {
        name: words.holdMean(index, isSeveral),
        of: ({ holds }) => holds.find((hold) => hold.index === index)?.actual?.meanCelsius,
        ...temperature,
      },
      {
        name: words.holdLength(index, isSeveral),
        of: ({ holds }) => holds.find((hold) => hold.index === index)?.actual?.lengthSeconds,
        ...length,
      },
    ]),
    {
      name: words.heatWorkOfPlan,
      of: ({ heatWork }) => heatWork.ratio,
      shown: (ratio) => `${numberText(ratio * 100, 1)} %`,
      step: 0.001,
      amount: (ratio) => words.points(numberText(Math.abs(ratio) * 100, 1)),
      words: { more: words.more, less: words.less },
    },
    {
      name: words.vacuumLevel,
      of: ({ vacuum }) => vacuum.actual?.levelHectopascals,
      shown: pressureText,
      step: 0.1,
      amount: (hectopascals) => pressureText(Math.abs(hectopascals)),
      words: { more: words.higher, less: words.lower },
    },
    { name: words.pumpDownTime, of: ({ vacuum }) => vacuum.actual?.pumpDownSeconds, ...length },
  ];
}

function differenceText(
  { step, amount, words: { more, less } }: Measure,
  one: number,
  other: number,
): string {
  const difference = (Math.round(other / step) - Math.round(one / step)) * step;
  const shown = amount(difference);
  if (!/[1-9]/.test(shown)) return words.same;
  return difference > 0 ? more(shown) : less(shown);
}
