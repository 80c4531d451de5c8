import type { CorrectionPoint } from "#core/thermocouple/correction";
import { differenceWithUnit, type TemperatureUnit } from "#kiosk-ui/format";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";

const words = checkWords.result;

/** What accepting a correction does to readings, one sentence or one line a point. */
export function correctionLines(
  points: readonly CorrectionPoint[],
  temperature: (celsius: number) => string,
  unit: TemperatureUnit,
): string[] {
  const amount = (kelvin: number) => differenceWithUnit(kelvin, unit, 1);
  const [only] = points;
  if (only && points.length === 1) {
    if (Math.abs(only.correctionKelvin) < 0.05) return [words.unchanged];
    return [
      only.correctionKelvin > 0
        ? words.raised(amount(only.correctionKelvin))
        : words.lowered(amount(only.correctionKelvin)),
    ];
  }
  return [
    words.severalPoints,
    ...points.map(({ readingCelsius, correctionKelvin }) =>
      correctionKelvin < 0
        ? words.loweredAt(temperature(readingCelsius), amount(correctionKelvin))
        : words.raisedAt(temperature(readingCelsius), amount(correctionKelvin)),
    ),
  ];
}
