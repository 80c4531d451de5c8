import type { NumberSource } from "#core/plan/adapt";
import { coolingText } from "#kiosk-ui/components/plan-facts";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { conditionText, type FurnaceNames } from "#kiosk-ui/screens/plans/case-words";
import { changeText, planNumberText } from "#kiosk-ui/screens/plans/change-text";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";

/** Where one number of a fitted plan comes from, in words. */
export interface SourceLine {
  readonly name: string;
  readonly value: string;
  /** The card's own, then every change with its condition. */
  readonly parts: readonly string[];
}

/** The numbers of a fitted plan that the card changed, each with its parts in order. */
export function sourceLines(
  sources: readonly NumberSource[],
  furnaces: FurnaceNames,
  unit: TemperatureUnit,
): SourceLine[] {
  return sources.flatMap((source) => {
    const value = valueText(source, unit);
    if (source.parts.length === 0 || value === null) return [];
    return [{ name: plansWords.numbers[source.number], value, parts: partTexts(source, furnaces, unit) }];
  });
}

function valueText({ number, value, parts }: NumberSource, unit: TemperatureUnit): string | null {
  if (number !== "cooling") return value === null ? null : planNumberText(number, value, unit);
  const change = parts[0]?.change;
  return change?.kind === "cooling" ? coolingText(change.to, unit) : null;
}

function partTexts(
  { number, base, parts }: NumberSource,
  furnaces: FurnaceNames,
  unit: TemperatureUnit,
): string[] {
  const fromCard =
    number === "cooling" || base === null
      ? []
      : [plansWords.whatIf.fromCard(planNumberText(number, base, unit))];
  return [
    ...fromCard,
    ...parts.map(({ when, change, basis }) =>
      [
        `${conditionText(when, furnaces)}: ${changeText(change, unit)}`,
        ...(basis ? [`(${basis})`] : []),
      ].join(" "),
    ),
  ];
}
