import type { NumberSource, SourcePart } from "#core/plan/adapt";
import { conditionText, type FurnaceNames } from "#kiosk-ui/components/condition-text";
import { coolingText } from "#kiosk-ui/components/plan-facts";
import { sourceText } from "#kiosk-ui/components/source-text";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { planNumberText } from "#kiosk-ui/screens/plans/change-text";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";

/** Where one number of a fitted plan comes from, in words. */
export interface SourceLine {
  readonly name: string;
  readonly value: string;
  /** The card's own, then every change with its condition and what it rests on. */
  readonly source: string;
}

/** The numbers of a fitted plan that the card changed, each with where it comes from. */
export function sourceLines(
  sources: readonly NumberSource[],
  furnaces: FurnaceNames,
  unit: TemperatureUnit,
): SourceLine[] {
  const nameOf = ({ when, basis }: SourcePart) =>
    `${conditionText(when, furnaces)}${basis ? ` (${basis})` : ""}`;
  return sources.flatMap((source) => {
    const value = valueText(source, unit);
    if (source.parts.length === 0 || value === null) return [];
    return [{ name: plansWords.numbers[source.number], value, source: sourceText(source, unit, nameOf) }];
  });
}

function valueText({ number, value, parts }: NumberSource, unit: TemperatureUnit): string | null {
  if (number !== "cooling") return value === null ? null : planNumberText(number, value, unit);
  const change = parts[0]?.change;
  return change?.kind === "cooling" ? coolingText(change.to, unit) : null;
}
