import { describe, expect, it } from "vitest";
import { correctionLines } from "#kiosk-ui/screens/upkeep/correction-text";
import {
  daysAgoText,
  dueStatement,
  probeBasisText,
  probeKindText,
  signedDifference,
} from "#kiosk-ui/screens/upkeep/probe-text";
import { UNKNOWN_PROBE } from "#shared/probe";
import { correctedProbe, MADE_UP_PROBE, madeUpCheck } from "#tests/helpers/made-up-checks";

/** Noon, so that a day more or less is a day by the calendar in every time zone's summer time, too. */
const NOW = new Date(2026, 10, 25, 12).getTime();
const daysFromNow = (days: number) => new Date(2026, 10, 25 + days, 9).getTime();
const wire = madeUpCheck(
  {
    kind: "melting-wire",
    metal: "silver",
    atmosphere: "vacuum",
    reading: { kind: "by-hand", readingCelsius: 959.68, kelvinPerMinute: 7 },
  },
  { id: 4, at: daysFromNow(-13) },
);

describe("an age", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { days: 0,    text: "today" },
    { days: -1,   text: "yesterday" },
    { days: -13,  text: "13 days ago" },
    { days: -90,  text: "90 days ago" },
    { days: -150, text: "5 months ago" },
  ])("of $days days is “$text”", ({ days, text }) => {
    expect(daysAgoText(daysFromNow(days), NOW)).toBe(text);
  });
});

describe("a due date", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { days: 17, text: "check due 12 Dec, in 17 days",                       isOverdue: false },
    { days: 1,  text: "check due 26 Nov, tomorrow",                         isOverdue: false },
    { days: 0,  text: "check due today",                                    isOverdue: false },
    { days: -1, text: "check overdue by one day: it was due 24 Nov",        isOverdue: true },
    { days: -9, text: "check overdue by 9 days: it was due 16 Nov",         isOverdue: true },
    { days: 40, text: "check due 4 Jan 2027, in 40 days",                   isOverdue: false },
  ])("in $days days says “$text”", ({ days, text, isOverdue }) => {
    expect(dueStatement(daysFromNow(days), NOW)).toEqual({ text, isOverdue });
  });

  it("may be none", () => {
    expect(dueStatement(null, NOW)).toEqual({ text: "no date is set for the next check", isOverdue: false });
  });
});

describe("a probe in words", () => {
  it("is its type and class, or says that nobody said", () => {
    expect(probeKindText(MADE_UP_PROBE)).toBe("type S, IEC class 2");
    expect(probeKindText({ ...MADE_UP_PROBE, toleranceClass: null })).toBe("type S, class not said");
    expect(probeKindText(UNKNOWN_PROBE)).toBe("type not said");
  });

  it("rests on the check that corrects it, with its day and age", () => {
    const probe = correctedProbe(MADE_UP_PROBE, wire);
    expect(probeBasisText(probe, [wire], NOW, "celsius")).toBe(
      "corrected by +2.1\u00a0K since the silver wire of 12 Nov, 13 days ago",
    );
    expect(probeBasisText(probe, [wire], NOW, "fahrenheit")).toContain("+3.8\u00a0°F");
  });

  it("rests on its class, on nothing, or on what was not accepted", () => {
    expect(probeBasisText(MADE_UP_PROBE, [], NOW, "celsius")).toBe(
      "no check yet: rests on its class when new",
    );
    expect(probeBasisText(UNKNOWN_PROBE, [], NOW, "celsius")).toContain("nobody can say how sure it is");
    expect(probeBasisText(MADE_UP_PROBE, [wire], NOW, "celsius")).toBe(
      "silver wire 13 days ago, not made its correction",
    );
  });
});

describe("what accepting changes", () => {
  const temperature = (celsius: number) => `${celsius} °C`;

  // biome-ignore format: a table reads in columns
  it.each([
    { correctionKelvin: 2.1,   unit: "celsius",    line: "Readings will be raised by 2.1\u00a0K from the next bake on." },
    { correctionKelvin: -0.62, unit: "celsius",    line: "Readings will be lowered by 0.6\u00a0K from the next bake on." },
    { correctionKelvin: 0.01,  unit: "celsius",    line: "Readings will stay as measured from the next bake on." },
    { correctionKelvin: 1,     unit: "fahrenheit", line: "Readings will be raised by 1.8\u00a0°F from the next bake on." },
  ] as const)("is said of $correctionKelvin K in $unit", ({ correctionKelvin, unit, line }) => {
    expect(correctionLines([{ readingCelsius: 960, correctionKelvin }], temperature, unit)).toEqual([line]);
  });

  it("is said of every point where there are several", () => {
    const points = [
      { readingCelsius: 800, correctionKelvin: 2 },
      { readingCelsius: 900, correctionKelvin: -1 },
    ];
    expect(correctionLines(points, temperature, "celsius").slice(1)).toEqual([
      "at 800 °C raised by 2.0\u00a0K",
      "at 900 °C lowered by 1.0\u00a0K",
    ]);
  });
});

it("a difference has no offset in Fahrenheit", () => {
  expect(signedDifference(-10, "fahrenheit")).toBe("−18.0\u00a0°F");
});
