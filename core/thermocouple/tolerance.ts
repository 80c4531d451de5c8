import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";

/** Tolerance as bought: IEC 60584-1 classes 1 to 3, ASTM E230 standard and special. */
export type ToleranceClass = "iec-1" | "iec-2" | "iec-3" | "astm-standard" | "astm-special";

/**
 * A row of a tolerance table: within its range the larger of a constant and a share of |t/°C|, or, where
 * `aboveCelsius` is given, the constant plus that share of what is above it (IEC class 1 of types R and S).
 */
interface ToleranceRow {
  readonly fromCelsius: number;
  readonly toCelsius: number;
  readonly constantKelvin: number;
  readonly share: number;
  readonly aboveCelsius?: number;
}

type Rows = Readonly<Record<ToleranceClass, readonly ToleranceRow[]>>;

const none: readonly ToleranceRow[] = [];

/** A row, and for ASTM the one below 0 °C. */
const row = (
  fromCelsius: number,
  toCelsius: number,
  constantKelvin: number,
  share: number,
): readonly ToleranceRow[] => [{ fromCelsius, toCelsius, constantKelvin, share }];

const platinumRows: Rows = {
  "iec-1": [{ fromCelsius: 0, toCelsius: 1600, constantKelvin: 1, share: 0.003, aboveCelsius: 1100 }],
  "iec-2": row(0, 1600, 1.5, 0.0025),
  "iec-3": none,
  "astm-standard": row(0, 1480, 1.5, 0.0025),
  "astm-special": row(0, 1480, 0.6, 0.001),
};

/**
 * Limits of new thermocouples, K, reference junction at 0 °C. IEC 60584-1:2013 (tolerances formerly in
 * IEC 60584-2, with amendment 1) and ASTM E230/E230M-12, Table 1, by public summaries of both; standards not
 * read themselves. For type K below 0 °C summaries of ASTM E230 disagree (1 or 2 %); 2 % is taken.
 */
// biome-ignore format: a table reads in columns
const tolerances: Readonly<Record<ThermocoupleType, Rows>> = {
  B: { "iec-1": none,                      "iec-2": row(600, 1700, 1.5, 0.0025), "iec-3": row(600, 1700, 4, 0.005),   "astm-standard": row(870, 1700, 0, 0.005),                                     "astm-special": row(870, 1700, 0, 0.0025) },
  E: { "iec-1": row(-40, 800, 1.5, 0.004),  "iec-2": row(-40, 900, 2.5, 0.0075),  "iec-3": row(-200, 40, 2.5, 0.015),  "astm-standard": [...row(-200, 0, 1.7, 0.01), ...row(0, 870, 1.7, 0.005)],     "astm-special": row(0, 870, 1, 0.004) },
  J: { "iec-1": row(-40, 750, 1.5, 0.004),  "iec-2": row(-40, 750, 2.5, 0.0075),  "iec-3": none,                       "astm-standard": row(0, 760, 2.2, 0.0075),                                     "astm-special": row(0, 760, 1.1, 0.004) },
  K: { "iec-1": row(-40, 1000, 1.5, 0.004), "iec-2": row(-40, 1200, 2.5, 0.0075), "iec-3": row(-200, 40, 2.5, 0.015),  "astm-standard": [...row(-200, 0, 2.2, 0.02), ...row(0, 1260, 2.2, 0.0075)],   "astm-special": row(0, 1260, 1.1, 0.004) },
  N: { "iec-1": row(-40, 1000, 1.5, 0.004), "iec-2": row(-40, 1200, 2.5, 0.0075), "iec-3": row(-200, 40, 2.5, 0.015),  "astm-standard": row(0, 1260, 2.2, 0.0075),                                    "astm-special": row(0, 1260, 1.1, 0.004) },
  R: platinumRows,
  S: platinumRows,
  T: { "iec-1": row(-40, 350, 0.5, 0.004),  "iec-2": row(-40, 350, 1, 0.0075),    "iec-3": row(-200, 40, 1, 0.015),    "astm-standard": [...row(-200, 0, 1, 0.015), ...row(0, 370, 1, 0.0075)],       "astm-special": row(0, 370, 0.5, 0.004) },
};

/**
 * How far a new thermocouple of a class may be off, ± K: the larger of the constant and the proportional
 * part. Drift in use is not covered, by either standard.
 * @returns null where the class says nothing for that type and temperature
 * @example toleranceKelvin("S", "iec-2", 960) // 2.4
 */
export function toleranceKelvin(
  type: ThermocoupleType,
  toleranceClass: ToleranceClass,
  celsius: number,
): number | null {
  const found = tolerances[type][toleranceClass].find(
    ({ fromCelsius, toCelsius }) => celsius >= fromCelsius && celsius <= toCelsius,
  );
  if (!found) return null;
  const { constantKelvin, share, aboveCelsius } = found;
  return aboveCelsius === undefined
    ? Math.max(constantKelvin, share * Math.abs(celsius))
    : constantKelvin + share * Math.max(0, celsius - aboveCelsius);
}

/**
 * The classes that say anything for a type.
 * @example toleranceClasses("B") // ["iec-2", "iec-3", "astm-standard", "astm-special"]
 */
export function toleranceClasses(type: ThermocoupleType): ToleranceClass[] {
  const rows = tolerances[type];
  return (Object.keys(rows) as ToleranceClass[]).filter((name) => rows[name].length > 0);
}
