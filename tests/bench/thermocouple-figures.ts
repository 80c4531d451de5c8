import { emfMillivolts, seebeckMicrovoltsPerKelvin } from "#core/thermocouple/emf";
import { PUBLISHED_TYPES, type ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { approximateCelsius, celsiusFromEmf, readableRange } from "#core/thermocouple/temperature";
import {
  PACKAGE,
  packageConverted,
  VALUES,
  type Way,
  waysOf,
  wholeRangeCelsius,
} from "#tests/bench/thermocouple-ways";
import { EMF_TABLES } from "#tests/core/thermocouple/published-tables";

const ROUNDS = 41;
const CALLS_A_ROUND = 3;

/** How long a way takes, and how far it is off at most over its range. */
export interface Figure {
  readonly way: string;
  readonly nanoseconds: number;
  /** Against the floor of its direction: the median of the ratios within each round. */
  readonly ratio: number;
  readonly mostOff: string;
}

/**
 * The figures of a type. The ways take turns, so that what else the machine does meets all of them, and each
 * is compared with the floor of its own round.
 */
export function figuresOf(type: ThermocoupleType): Figure[] {
  const ways = waysOf(type);
  for (let round = 0; round < 20; round++) for (const way of ways) nanosecondsOf(way);
  const rounds = Array.from({ length: ROUNDS }, () => ways.map(nanosecondsOf));
  return ways.map((way, index) => {
    const floor = ways.findIndex(({ direction }) => direction === way.direction);
    const own = rounds.map((times) => times[index] ?? Number.NaN);
    const ratios = rounds.map((times) => (times[index] ?? Number.NaN) / (times[floor] ?? Number.NaN));
    return {
      way: `${way.direction === "forward" ? "°C → mV" : "mV → °C"}  ${way.name}`,
      nanoseconds: middle(own),
      ratio: middle(ratios),
      mostOff: mostOff(type, way),
    };
  });
}

/** The figures as a person reads them. */
export function figuresText(type: ThermocoupleType): string {
  const rows = figuresOf(type).map(
    ({ way, nanoseconds, ratio, mostOff }) =>
      `  ${way.padEnd(46)}${nanoseconds.toFixed(1).padStart(7)} ns${ratio.toFixed(2).padStart(7)} ×   ${mostOff}`,
  );
  return [`type ${type}, ${PUBLISHED_TYPES[type].conductors}`, ...rows, ""].join("\n");
}

function nanosecondsOf({ convertAll }: Way): number {
  let sum = 0;
  const before = process.hrtime.bigint();
  for (let call = 0; call < CALLS_A_ROUND; call++) sum += convertAll();
  const passed = Number(process.hrtime.bigint() - before);
  if (Number.isNaN(sum)) throw new Error("a value was out of range");
  return passed / (CALLS_A_ROUND * VALUES);
}

/** Over the whole range, not only where the time was taken. */
function mostOff(type: ThermocoupleType, { name, direction }: Way): string {
  if (name.startsWith("floor"))
    return direction === "forward" ? "the same polynomial" : "as approximateCelsius";
  if (direction === "forward")
    return printedOff(type, (celsius) =>
      name === PACKAGE ? packageConverted(type, direction, celsius) : emfMillivolts(type, celsius),
    );
  const isExact = name.includes("exact");
  const { from } = readableRange(type);
  let most = 0;
  let lowest = Number.POSITIVE_INFINITY;
  for (const celsius of wholeRangeCelsius(type, from.celsius)) {
    const millivolts = emfMillivolts(type, celsius);
    const found =
      name === PACKAGE
        ? packageConverted(type, direction, millivolts)
        : isExact
          ? exactCelsius(type, millivolts)
          : approximateCelsius(type, millivolts);
    // The published inverses begin later than the reference functions.
    if (!Number.isFinite(found)) continue;
    lowest = Math.min(lowest, celsius);
    most = Math.max(most, Math.abs(found - celsius));
  }
  return `${most.toExponential(1)} K at most, from ${Math.round(lowest)} °C`;
}

function exactCelsius(type: ThermocoupleType, millivolts: number): number {
  const result = celsiusFromEmf(type, millivolts);
  if (!result.ok) throw new Error(`type ${type} is not read at ${millivolts} mV: ${result.fault}`);
  return result.celsius;
}

/** NIST prints whole microvolts, so that half of one, and no more, is its own rounding. */
function printedOff(type: ThermocoupleType, convert: (celsius: number) => number): string {
  let most = { microvolts: 0, kelvin: 0 };
  for (const [celsius, printed] of EMF_TABLES.types[type].points) {
    const microvolts = 1000 * Math.abs(convert(celsius) - printed);
    const kelvin = microvolts / Math.abs(seebeckMicrovoltsPerKelvin(type, celsius));
    if (microvolts > most.microvolts) most = { microvolts, kelvin };
  }
  return `${most.microvolts.toFixed(2)} µV (${most.kelvin.toFixed(3)} K) from the printed table at most`;
}

function middle(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
}
