import type { NumberSource, SourcePart } from "#core/plan/adapt";
import type { PlanNumber } from "#core/plan/card";
import {
  differenceInUnit,
  durationText,
  numberText,
  pressureText,
  signedText,
  type TemperatureUnit,
  temperatureText,
} from "#kiosk-ui/format";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import { conditionText } from "#kiosk-ui/screens/begin/condition-text";

type Kind = "duration" | "temperature" | "rate" | "pressure";

const KINDS: Readonly<Record<PlanNumber, Kind>> = {
  drying: "duration",
  closing: "duration",
  low: "temperature",
  "low-hold": "duration",
  "climb-rate": "rate",
  top: "temperature",
  "top-hold": "duration",
  "vacuum-on": "temperature",
  "vacuum-level": "pressure",
};

/**
 * Where a number of an effective plan comes from, in one line; empty for one that nothing changes.
 * @example sourceText({ number: "top", base: 760, value: 750, parts: [{ when: { kind: "case-size", caseSize: "large" }, change: { kind: "shift", number: "top", by: -10 }, basis: null }] }, "celsius") // "760 from the card, −10 large case"
 */
export function sourceText({ number, base, parts }: NumberSource, unit: TemperatureUnit): string {
  const conditions = parts.map(({ when }) => conditionText(when));
  if (parts.length === 0) return "";
  if (number === "cooling") return beginWords.coolingFor(conditions.join(", "));
  if (base === null) return "";
  const set = parts.find(({ change }) => change.kind === "set");
  const start = valueText(KINDS[number], base, unit);
  const begins =
    set?.change.kind === "set"
      ? beginWords.insteadOf(valueText(KINDS[number], set.change.to, unit), conditionText(set.when), start)
      : beginWords.fromCard(start);
  return [begins, ...parts.flatMap((part) => shiftText(part, KINDS[number], unit))].join(", ");
}

function shiftText({ when, change }: SourcePart, kind: Kind, unit: TemperatureUnit): string[] {
  if (change.kind !== "shift") return [];
  return [beginWords.part(differenceText(kind, change.by, unit), conditionText(when))];
}

function valueText(kind: Kind, value: number, unit: TemperatureUnit): string {
  switch (kind) {
    case "duration":
      return durationText(value);
    case "temperature":
      return temperatureText(value, unit);
    case "rate":
      return numberText(differenceInUnit(value, unit));
    case "pressure":
      return pressureText(value);
  }
}

function differenceText(kind: Kind, by: number, unit: TemperatureUnit): string {
  if (kind === "duration") return `${by < 0 ? "−" : "+"}${durationText(Math.abs(by))}`;
  return signedText(kind === "pressure" ? by : differenceInUnit(by, unit));
}
