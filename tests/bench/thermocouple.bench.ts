import { bench, describe } from "vitest";
import { THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import { figuresText } from "#tests/bench/thermocouple-figures";
import { VALUES, waysOf } from "#tests/bench/thermocouple-ways";

// What a library of this kind usually does, the published inverse alone, stands as `approximateCelsius`.
console.log(
  [
    "Nanoseconds a conversion, ratio to the bare polynomial of the same round, and how far off at most",
    "against the reference function. Conversion packages in the npm registry on 2026-11-25, names tried:",
    "thermocouple, its90, its-90, node-thermocouple, nist-its90, thermocouple-its90: none;",
    "thermocouple-converter: 1.0.1 (MIT), in the table.",
    "",
    ...THERMOCOUPLE_TYPES.map(figuresText),
  ].join("\n"),
);

describe.each(THERMOCOUPLE_TYPES)(`${VALUES} conversions of type %s`, (type) => {
  for (const { name, direction, convertAll } of waysOf(type))
    bench(`${direction}, ${name}`, () => void convertAll(), { time: 100, warmupTime: 20 });
});
