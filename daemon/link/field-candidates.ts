import { celsiusFromFahrenheit, celsiusFromKelvin } from "#core/units";
import { type FieldWord, fieldChannel, strictNumber, unitSuffix } from "#daemon/link/formats/fields";
import { sensorWordOf } from "#daemon/link/formats/sensor-words";

/** One field heard on many lines: its name, where it has one, and its texts, oldest first. */
export interface Heard {
  readonly name: string;
  readonly texts: readonly string[];
}

/** What a field could be, and how much speaks for it. */
export interface Candidate {
  readonly word: FieldWord;
  readonly weight: number;
}

/** What a chamber is at, °C; a number without a name or a unit that is outside is no temperature of it. */
const CHAMBER = { least: -50, most: 1400 };
/** Where an adapter stands, °C. */
const ADAPTER = { least: 10, most: 60 };
/** What a thermocouple between an adapter and a chamber gives, mV, of any letter type: 76.4 for E at 1000 °C. */
const EMF = { least: -1, most: 78 };
/** An EMF is written with so many decimals at least: at three the last one is 0.1 K of type S. */
const EMF_DECIMALS = 3;
/** Two temperatures of one instrument are written alike; an EMF has so many decimals more than its cold junction. */
const DECIMALS_BEYOND_COLD = 2;
/** A chamber may be so much colder than the adapter beside it, and so near to it at rest, K. */
const COLDER_KELVIN = 5;
const NEAR_KELVIN = 15;

/** A clock in seconds goes on by so much from line to line at least: a hundred lines a second. */
const SHORTEST_CLOCK_STEP = 0.01;

const coldNames = "(cold|coldjunction|cj|cjc|tcj|ambient|internal|tint|tcold|ref|refjunction|tref)";
const chamberNames = "(temp|temperature|t|chamber|furnace|muffle|tc|pv)";
const probeNames = "(e|u|v|t|tc|emf|probe|sensor|thermo|thermocouple|signal)";
const pressureNames = "(p|press|pressure|vac|vacuum)";
const powerNames = "(d|duty|power|out|output|op|heater)";

/** Names of fields as instruments write them, letters and digits only; capitals count for one letter alone. */
const namedWords: readonly (readonly [RegExp, FieldWord])[] = [
  [/^(ms|millis|milliseconds|timems|tms|uptimems)$/, "milliseconds"],
  [/^(min|mins|minutes|timemin|tmin)$/, "minutes"],
  [/^(s|sec|secs|seconds|second|time|times|timesec|timeseconds|elapsed|elapseds|uptime|ts)$/, "seconds"],
  [new RegExp(`^${probeNames}?(uv|microvolts?)$`), "microvolts"],
  [new RegExp(`^${probeNames}?(mv|millivolts?)$|^(e|emf)$`), "millivolts"],
  [new RegExp(`^${coldNames}(temp|temperature)?(f|degf|fahrenheit)$`), "cold-fahrenheit"],
  [new RegExp(`^${coldNames}(temp|temperature)?(k|kelvin)$`), "cold-kelvin"],
  [new RegExp(`^${coldNames}(temp|temperature)?(c|degc|celsius)?$`), "cold-celsius"],
  [new RegExp(`^${chamberNames}?(f|degf|fahrenheit)$`), "fahrenheit"],
  [new RegExp(`^${chamberNames}?(k|kelvin)$`), "kelvin"],
  [new RegExp(`^${chamberNames}(temp|temperature)?(c|degc|celsius)?$|^(c|degc|celsius)$`), "celsius"],
  [new RegExp(`^${pressureNames}?(kpa|kilopascals?)$`), "kilopascals"],
  [new RegExp(`^${pressureNames}?mmhg$`), "mmhg"],
  [new RegExp(`^${pressureNames}?torr$`), "torr"],
  [new RegExp(`^${pressureNames}?inhg$`), "inhg"],
  [new RegExp(`^${pressureNames}?(hpa|mbar|hectopascals?)$|^${pressureNames}$`), "hectopascals"],
  [new RegExp(`^${powerNames}(percent|pct)$`), "duty-percent"],
  [new RegExp(`^${powerNames}(fraction)?$`), "duty-fraction"],
];

/** What one of the fields of a line could be, by its unit, its name, or its size beside the others. */
export function candidatesFor(field: Heard, index: number, heard: readonly Heard[]): Candidate[] {
  const values = numbersOf(field.texts);
  if (values.length === 0) return speechlessCandidates(field);
  const unit = suffixWord(field.texts);
  const named = namedCandidates(field.name, values, heard);
  if (unit) return unitCandidates(unit, named, values, heard);
  if (named.length > 0) return named;
  const bySize = [...candidatesBySize(values, index), ...emfCandidates(field, heard)];
  if (isAdapterLike(values) && heard.some((other) => isLikelyEmf(other, heard)))
    bySize.push({ word: "cold-celsius", weight: 0.65 });
  return field.name === "" ? bySize : bySize.map(({ word, weight }) => ({ word, weight: weight / 2 }));
}

/** What the only number on a line could be. */
export function loneCandidates(texts: readonly string[]): Candidate[] {
  const unit = suffixWord(texts);
  if (unit) return [{ word: unit, weight: 0.9 }];
  const values = numbersOf(texts);
  const isHot = values.some((value) => value > 1300);
  const weights: readonly Candidate[] = [
    { word: "celsius", weight: isHot ? 0.4 : 0.7 },
    { word: "fahrenheit", weight: isHot ? 0.6 : 0.4 },
    { word: "kelvin", weight: 0.3 },
  ];
  return weights.filter(({ word }) => looksLikeChamber(word, values));
}

/** A text as a number, its unit put aside; null when it is none. */
export function numeric(text: string): number | null {
  const suffix = unitSuffix(text);
  const digits = text.trim().slice(0, text.trim().length - suffix.length);
  return sensorWordOf(text.trim()) ? null : strictNumber(digits.trim(), true);
}

function numbersOf(texts: readonly string[]): number[] {
  return texts.flatMap((text) => numeric(text) ?? []);
}

/** A field that only ever held words: by its name it may be the probe, which is broken. */
function speechlessCandidates({ name, texts }: Heard): Candidate[] {
  if (!texts.some((text) => sensorWordOf(text) !== null)) return [];
  const word = wordOfName(name);
  const channel = word && fieldChannel(word);
  return word && channel !== "instrumentSeconds" ? [{ word, weight: 0.8 }] : [];
}

/** A unit says whether it is an EMF or a temperature; which temperature, the name or the size says. */
function unitCandidates(
  unit: FieldWord,
  named: readonly Candidate[],
  values: readonly number[],
  heard: readonly Heard[],
): Candidate[] {
  const cold = coldWords[unit];
  if (!cold) return [{ word: unit, weight: 0.95 }];
  if (named.some(({ word }) => fieldChannel(word) === "coldJunctionCelsius"))
    return [{ word: cold, weight: 0.95 }];
  const isAdapter = values.every((value) => isWithin(canonicalCelsius(unit, value), ADAPTER));
  if (named.length > 0 || !isAdapter) return [{ word: unit, weight: 0.95 }];
  const isBesideEmf = heard.some((other) => isLikelyEmf(other, heard));
  return [
    { word: unit, weight: 0.93 },
    { word: cold, weight: isBesideEmf ? 0.95 : 0.6 },
  ];
}

const coldWords: Partial<Record<FieldWord, FieldWord>> = {
  celsius: "cold-celsius",
  fahrenheit: "cold-fahrenheit",
  kelvin: "cold-kelvin",
};

/** What a name that is known says; `t` is the time beside a `T` or when it rises steadily, else the temperature. */
function namedCandidates(name: string, values: readonly number[], heard: readonly Heard[]): Candidate[] {
  if (name === "t" && (heard.some((other) => other.name === "T") || isSteadyClock(values)))
    return [{ word: "seconds", weight: 0.95 }];
  const letters = lettersOf(name);
  const word = wordOfName(name);
  if (!word) return [];
  if (word === "hectopascals" && !/hpa|mbar|hecto/.test(letters))
    return [{ word: pressureUnitBySize(values), weight: 0.9 }];
  if (word === "duty-fraction" && values.some((value) => value > 1))
    return [{ word: "duty-percent", weight: 0.9 }];
  if (word === "millivolts" && /^(e|emf)$/.test(letters) && values.some((value) => !isWithin(value, EMF)))
    return [{ word: "microvolts", weight: 0.9 }];
  if (word === "celsius" && !/(c|celsius)$/.test(letters.replace(/^(tc|t)$/, "")))
    return [{ word, weight: 0.95 }, ...otherUnits.filter((other) => looksLikeChamber(other.word, values))];
  return [{ word, weight: 0.95 }];
}

/** A temperature whose unit nobody said is most likely in °C. */
const otherUnits: readonly Candidate[] = [
  { word: "fahrenheit", weight: 0.45 },
  { word: "kelvin", weight: 0.4 },
];

function lettersOf(name: string): string {
  return name
    .toLowerCase()
    .replace(/[µμ]/g, "u")
    .replace(/[^a-z0-9]/g, "");
}

function wordOfName(name: string): FieldWord | null {
  const letters = lettersOf(name);
  return namedWords.find(([pattern]) => pattern.test(letters))?.[1] ?? null;
}

/** Nobody said the unit of a pressure: a room's air is 1013 hPa, 760 Torr, 101 kPa or 29.9 inHg. */
function pressureUnitBySize(values: readonly number[]): FieldWord {
  const top = Math.max(...values);
  if (top > 640 && top < 800) return "torr";
  if (top > 85 && top < 110) return "kilopascals";
  if (top > 25 && top < 32) return "inhg";
  return "hectopascals";
}

function candidatesBySize(values: readonly number[], index: number): Candidate[] {
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const found: Candidate[] = [];
  if (isSteadyClock(values)) {
    const step = ((values.at(-1) ?? 0) - (values[0] ?? 0)) / (values.length - 1);
    found.push({ word: step >= 50 ? "milliseconds" : "seconds", weight: index === 0 ? 0.95 : 0.6 });
  } else if (index === 0 && isRising(values)) found.push({ word: "seconds", weight: 0.5 });
  if (looksLikeChamber("celsius", values)) found.push({ word: "celsius", weight: 0.6 - 0.01 * index });
  if (most > 100 && looksLikeChamber("fahrenheit", values)) found.push({ word: "fahrenheit", weight: 0.28 });
  if (least > 250 && looksLikeChamber("kelvin", values)) found.push({ word: "kelvin", weight: 0.25 });
  if (index > 0 && least >= 940 && most <= 1060) found.push({ word: "hectopascals", weight: 0.7 });
  else if (index > 0 && least >= 0 && most <= 1200) found.push({ word: "hectopascals", weight: 0.3 });
  if (least >= 0 && most <= 1) found.push({ word: "duty-fraction", weight: 0.65 });
  if (index > 0 && isAdapterLike(values)) found.push({ word: "cold-celsius", weight: 0.45 });
  return found;
}

/**
 * An EMF without name or unit: written to the microvolt, beside a column that looks like its cold junction.
 * Far below that column it can be no temperature; near to it, it may well be a chamber at rest, unless it is
 * written far more finely.
 */
function emfCandidates(field: Heard, heard: readonly Heard[]): Candidate[] {
  const values = numbersOf(field.texts);
  const decimals = Math.min(...field.texts.filter((text) => numeric(text) !== null).map(decimalsOf));
  const cold = heard.find((other) => other !== field && isAdapterLike(numbersOf(other.texts)));
  if (!cold || decimals < EMF_DECIMALS || !values.every((value) => isWithin(value, EMF))) return [];
  const kelvin = mean(values) - mean(numbersOf(cold.texts));
  const isFiner = decimals - Math.max(...cold.texts.map(decimalsOf)) >= DECIMALS_BEYOND_COLD;
  if (kelvin < -COLDER_KELVIN) return [{ word: "millivolts", weight: 0.8 }];
  if ((kelvin > NEAR_KELVIN || isFiner) && decimals > EMF_DECIMALS)
    return [{ word: "millivolts", weight: 0.8 }];
  return [{ word: "millivolts", weight: 0.44 }];
}

function isLikelyEmf(field: Heard, heard: readonly Heard[]): boolean {
  const isNamed = isEmfWord(suffixWord(field.texts) ?? wordOfName(field.name));
  return isNamed || (field.name === "" && emfCandidates(field, heard).some(({ weight }) => weight > 0.7));
}

function isAdapterLike(values: readonly number[]): boolean {
  return values.length > 0 && values.every((value) => isWithin(value, ADAPTER));
}

function decimalsOf(text: string): number {
  return /[.,](\d+)/.exec(text)?.[1]?.length ?? 0;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function looksLikeChamber(word: FieldWord, values: readonly number[]): boolean {
  return values.every((value) => isWithin(canonicalCelsius(word, value), CHAMBER));
}

function canonicalCelsius(word: FieldWord, value: number): number {
  if (word === "fahrenheit") return celsiusFromFahrenheit(value);
  return word === "kelvin" ? celsiusFromKelvin(value) : value;
}

function isWithin(value: number, { least, most }: { readonly least: number; readonly most: number }) {
  return value >= least && value <= most;
}

function isEmfWord(word: FieldWord | null): boolean {
  return word !== null && fieldChannel(word) === "millivolts";
}

/** Rising, every step within 5 % of the mean one: a clock rather than a climbing furnace, and no slower one. */
function isSteadyClock(values: readonly number[]): boolean {
  if (values.length < 3 || !isRising(values)) return false;
  const steps = values.slice(1).map((value, index) => value - (values[index] ?? 0));
  const usual = mean(steps);
  return usual >= SHORTEST_CLOCK_STEP && steps.every((step) => Math.abs(step - usual) <= 0.05 * usual);
}

function isRising(values: readonly number[]): boolean {
  return values.length > 1 && values.slice(1).every((value, index) => value > (values[index] ?? 0));
}

const suffixWords: Partial<Record<string, FieldWord>> = {
  c: "celsius",
  "℃": "celsius",
  f: "fahrenheit",
  "℉": "fahrenheit",
  k: "kelvin",
  mv: "millivolts",
  uv: "microvolts",
};

/** What the unit letters behind the numbers say, when all numbers agree. */
function suffixWord(texts: readonly string[]): FieldWord | null {
  const numbers = texts.filter((text) => numeric(text) !== null);
  const suffixes = new Set(
    numbers.map((text) =>
      unitSuffix(text)
        .replace(/^(°|deg) ?/, "")
        .replace(/^[µμ]/, "u"),
    ),
  );
  const [suffix] = suffixes;
  return suffixes.size === 1 && suffix !== undefined ? (suffixWords[suffix] ?? null) : null;
}
