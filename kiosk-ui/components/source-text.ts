import type { NumberSource, SourcePart } from "#core/plan/adapt";
import type { PlanNumber } from "#core/plan/card";
import { conditionText } from "#kiosk-ui/components/condition-text";
import { sourceWords as words } from "#kiosk-ui/components/source-words";
import {
  differenceInUnit,
  durationText,
  numberText,
  pressureText,
  signedText,
  type TemperatureUnit,
  temperatureText,
} from "#kiosk-ui/format";

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

/** What a part of a number is called: its condition, and perhaps what it rests on. */
export type PartName = (part: SourcePart) => string;

/**
 * Where a number of an effective plan comes from, in one line; empty for one that nothing changes.
 * @example sourceText({ number: "top", base: 760, value: 750, parts: [{ when: { kind: "case-size", caseSize: "large" }, change: { kind: "shift", number: "top", by: -10 }, basis: null }] }, "celsius") // "760 from the card, −10 large case"
 */
export function sourceText(
  { number, base, parts }: NumberSource,
  unit: TemperatureUnit,
  nameOf: PartName = ({ when }) => conditionText(when),
): string {
  if (parts.length === 0) return "";
  if (number === "cooling") return words.coolingFor(parts.map(nameOf).join(", "));
  if (base === null) return "";
  const kind = KINDS[number];
  return [
    startText(kind, base, parts, unit, nameOf),
    ...parts.flatMap((part) => shiftText(part, kind, unit, nameOf)),
  ].join(", ");
}

/** The card's own number, or what stands in its place. */
function startText(
  kind: Kind,
  base: number,
  parts: readonly SourcePart[],
  unit: TemperatureUnit,
  nameOf: PartName,
): string {
  const start = valueText(kind, base, unit);
  const set = parts.find(({ change }) => change.kind === "set");
  return set?.change.kind === "set"
    ? words.insteadOf(valueText(kind, set.change.to, unit), nameOf(set), start)
    : words.fromCard(start);
}

function shiftText(part: SourcePart, kind: Kind, unit: TemperatureUnit, nameOf: PartName): string[] {
  const { change } = part;
  if (change.kind !== "shift") return [];
  return [words.part(differenceText(kind, change.by, unit), nameOf(part))];
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
