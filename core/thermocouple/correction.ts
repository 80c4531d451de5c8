/** What is to be added to a reading: straight between points, level beyond the first and the last. */
export interface CorrectionPoint {
  /** What the uncorrected reading was, °C. */
  readonly readingCelsius: number;
  readonly correctionKelvin: number;
}

/**
 * A reading with its correction added, °C.
 * @param points by rising reading; none corrects nothing
 * @example correctedCelsius(960, [{ readingCelsius: 800, correctionKelvin: 2 }, { readingCelsius: 1000, correctionKelvin: 4 }]) // 963.6
 */
export function correctedCelsius(readingCelsius: number, points: readonly CorrectionPoint[]): number {
  return readingCelsius + correctionKelvin(readingCelsius, points);
}

/**
 * What a correction adds at a reading, K.
 * @param points by rising reading
 * @example correctionKelvin(500, [{ readingCelsius: 800, correctionKelvin: 2 }]) // 2
 */
export function correctionKelvin(readingCelsius: number, points: readonly CorrectionPoint[]): number {
  const next = points.findIndex((point) => point.readingCelsius >= readingCelsius);
  const after = points[next];
  if (!after) return points.at(-1)?.correctionKelvin ?? 0;
  const before = points[next - 1];
  if (!before) return after.correctionKelvin;
  const share = (readingCelsius - before.readingCelsius) / (after.readingCelsius - before.readingCelsius);
  return before.correctionKelvin + share * (after.correctionKelvin - before.correctionKelvin);
}

/**
 * The reading that a corrected one came from, °C. Corrections that fall by a kelvin and more within a kelvin
 * have no such inverse; `isCorrection` refuses them.
 * @example uncorrectedCelsius(962, [{ readingCelsius: 800, correctionKelvin: 2 }]) // 960
 */
export function uncorrectedCelsius(celsius: number, points: readonly CorrectionPoint[]): number {
  const next = points.findIndex((point) => point.readingCelsius + point.correctionKelvin >= celsius);
  const after = points[next];
  if (!after) return celsius - (points.at(-1)?.correctionKelvin ?? 0);
  const before = points[next - 1];
  if (!before) return celsius - after.correctionKelvin;
  const fromCelsius = before.readingCelsius + before.correctionKelvin;
  const toCelsius = after.readingCelsius + after.correctionKelvin;
  const share = (celsius - fromCelsius) / (toCelsius - fromCelsius);
  return before.readingCelsius + share * (after.readingCelsius - before.readingCelsius);
}

/**
 * Whether points make a correction: by rising reading, and the corrected reading rises with it.
 * @example isCorrection([{ readingCelsius: 800, correctionKelvin: 2 }, { readingCelsius: 801, correctionKelvin: -2 }]) // false
 */
export function isCorrection(points: readonly CorrectionPoint[]): boolean {
  return points.slice(1).every((point, index) => {
    const before = points[index];
    return (
      before !== undefined &&
      point.readingCelsius > before.readingCelsius &&
      point.readingCelsius + point.correctionKelvin > before.readingCelsius + before.correctionKelvin
    );
  });
}
