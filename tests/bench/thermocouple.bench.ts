import { bench, describe } from "vitest";
import { THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import { figuresText } from "#tests/bench/thermocouple-figures";
import { VALUES, waysOf } from "#tests/bench/thermocouple-ways";

// Against other packages: npm's list has none whose name or summary says thermocouple, ITS-90 or Seebeck
// (226 995 packages looked through on 2026-11-25). Documentation pages name one, `thermocouple`; the registry
// does not carry it (404 on the same day). So the floor is the bare polynomial, and what a library of that kind
// usually does, the published inverse alone, stands as `approximateCelsius`.
console.log(
  [
    "Nanoseconds a conversion, ratio to the bare polynomial of the same round, and how far off at most;",
    "no conversion package in the npm registry to compare with (2026-11-25)",
    "",
    ...THERMOCOUPLE_TYPES.map(figuresText),
  ].join("\n"),
);

describe.each(THERMOCOUPLE_TYPES)(`${VALUES} conversions of type %s`, (type) => {
  for (const { name, direction, convertAll } of waysOf(type))
    bench(`${direction}, ${name}`, () => void convertAll(), { time: 100, warmupTime: 20 });
});
