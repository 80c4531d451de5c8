import { type Plan, topCelsius } from "#core/plan/plan";
import { median } from "#core/statistics/median";
import { isCompensable, measuredMillivolts } from "#core/thermocouple/cold-junction";
import { emfMillivolts, referenceRangeCelsius, THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import type { SensorFault } from "#core/thermocouple/sensor-faults";
import { celsiusFromEmf } from "#core/thermocouple/temperature";
import type { Sample, Trace } from "#core/trace/trace";

/** A furnace is not so far from its plan's top by itself, K. */
const FAR_OFF_KELVIN = 30;

/** Another type explains it when it brings both the low temperature and the top this near, K. */
const EXPLAINED_TOP_KELVIN = 12;
const EXPLAINED_LOW_KELVIN = 25;

/** The low temperature is told by this much of the beginning, s, when it stands still within so much, K. */
const LOW_SECONDS = 60;
const LOW_SPREAD_KELVIN = 15;

/** Such a share of the readings is at the top or above. */
const TOP_SHARE = 0.02;

/** A usual cold junction where the trace has none, °C. */
const ROOM_CELSIUS = 23;

/** The plan's two levels as a type would read them. */
interface Levels {
  readonly lowCelsius: number;
  readonly topCelsius: number;
}

/**
 * Whether another thermocouple type than the configured one explains a bake: the curve is plausible but
 * bent, right when cold and wrong at the top. Both levels of the plan, the low temperature and the top, are
 * held against each type; one level alone could be a furnace that is weak, or a plan that is another.
 * @param plan what the furnace was to do
 * @param trace the whole bake, uncorrected, in rising time; it must begin at the low temperature
 * @param type as configured
 * @returns null where the configured type is near enough, or no other explains both levels
 */
export function typeThatFits(plan: Plan, trace: Trace, type: ThermocoupleType): SensorFault | null {
  const read = levelsOf(trace);
  if (!read) return null;
  const planned: Levels = { lowCelsius: plan.lowCelsius, topCelsius: topCelsius(plan) };
  if (Math.abs(read.topCelsius - planned.topCelsius) < FAR_OFF_KELVIN) return null;
  const [best] = THERMOCOUPLE_TYPES.filter((other) => other !== type)
    .flatMap((other) => explanation(read, planned, trace, type, other))
    .sort((a, b) => a.offKelvin - b.offKelvin);
  if (!best) return null;
  const first = trace[0]?.atSeconds ?? 0;
  const last = trace.at(-1)?.atSeconds ?? 0;
  return {
    kind: "wrong-type",
    isActive: true,
    episodes: 1,
    readings: trace.length,
    seconds: last - first,
    firstAtSeconds: first,
    lastAtSeconds: last,
    celsius: read.topCelsius,
    likelyType: best.type,
    needsPerson: true,
  };
}

/** Low temperature and top as read; null where the beginning is no level, or is too cold to tell types apart. */
function levelsOf(trace: Trace): Levels | null {
  const start = trace[0]?.atSeconds ?? 0;
  const beginning = trace.filter(({ atSeconds }) => atSeconds - start <= LOW_SECONDS).map(celsiusOf);
  const sorted = trace.map(celsiusOf).sort((a, b) => b - a);
  const top = sorted[Math.floor(TOP_SHARE * sorted.length)];
  if (beginning.length < 3 || top === undefined) return null;
  if (Math.max(...beginning) - Math.min(...beginning) > LOW_SPREAD_KELVIN) return null;
  return { lowCelsius: median(beginning), topCelsius: top };
}

function explanation(
  read: Levels,
  planned: Levels,
  trace: Trace,
  type: ThermocoupleType,
  other: ThermocoupleType,
): { readonly type: ThermocoupleType; readonly offKelvin: number }[] {
  const cold = median(trace.flatMap(({ coldJunctionCelsius }) => coldJunctionCelsius ?? []));
  const coldCelsius = Number.isNaN(cold) ? ROOM_CELSIUS : cold;
  const low = asOther(read.lowCelsius, coldCelsius, type, other);
  const top = asOther(read.topCelsius, coldCelsius, type, other);
  if (low === null || top === null) return [];
  const lowKelvin = Math.abs(low - planned.lowCelsius);
  const topKelvin = Math.abs(top - planned.topCelsius);
  return lowKelvin <= EXPLAINED_LOW_KELVIN && topKelvin <= EXPLAINED_TOP_KELVIN
    ? [{ type: other, offKelvin: topKelvin + lowKelvin }]
    : [];
}

/** What one type's reading would be had the adapter been set to another; null out of range. */
function asOther(
  celsius: number,
  coldCelsius: number,
  type: ThermocoupleType,
  other: ThermocoupleType,
): number | null {
  const { from, to } = referenceRangeCelsius(type);
  if (!(celsius >= from && celsius <= to)) return null;
  if (!isCompensable(type, coldCelsius) || !isCompensable(other, coldCelsius)) return null;
  const millivolts = measuredMillivolts(type, celsius, coldCelsius) + emfMillivolts(other, coldCelsius);
  const hot = celsiusFromEmf(other, millivolts);
  return hot.ok ? hot.celsius : null;
}

function celsiusOf({ celsius }: Sample): number {
  return celsius;
}
