import type { NumberSource } from "#core/plan/adapt";
import { type Leg, legs, type Plan, topCelsius } from "#core/plan/plan";
import { planTable } from "#kiosk-ui/components/plan-facts";
import { sourceText } from "#kiosk-ui/components/source-text";
import { durationText, rateText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import { words } from "#kiosk-ui/words";

/** A number to set on the furnace, and where it comes from. */
export interface PlanRow {
  readonly label: string;
  readonly value: string;
  /** A line for each number in it that an adaptation changed. */
  readonly sources: readonly string[];
}

type Row = (label: string, value: string, ...numbers: NumberSource["number"][]) => PlanRow;

const { numbers } = beginWords;

/** The numbers of an effective plan in the order in which they are set, each with where it comes from. */
export function planRows(plan: Plan, sources: readonly NumberSource[], unit: TemperatureUnit): PlanRow[] {
  const row: Row = (label, value, ...from) => ({ label, value, sources: sourceLines(sources, from, unit) });
  const planLegs = legs(plan);
  const topLeg = planLegs.findLast((leg) => leg.toCelsius === topCelsius(plan));
  const told = new Map(planTable(plan, unit));
  const toldRow: Row = (label, _, ...from) => row(label, told.get(label) ?? "", ...from);
  return [
    row(numbers.drying, durationText(plan.dryingSeconds), "drying"),
    row(numbers.closing, durationText(plan.closingSeconds), "closing"),
    row(numbers.low, temperatureWithUnit(plan.lowCelsius, unit), "low"),
    row(numbers["low-hold"], durationText(plan.lowHoldSeconds), "low-hold"),
    ...planLegs.flatMap((leg) => (leg === topLeg ? topRows(leg, unit, row) : legRows(leg, unit, row))),
    toldRow(words.plans.vacuum, "", "vacuum-on", "vacuum-level"),
    toldRow(words.plans.cooling, "", "cooling"),
    toldRow(words.plans.length, ""),
  ].filter(({ label, sources: lines }) => !isIdleWait(label, plan, lines));
}

/** Most plans do not wait at the low temperature: then nothing is said of it. */
function isIdleWait(label: string, plan: Plan, lines: readonly string[]): boolean {
  return label === numbers["low-hold"] && plan.lowHoldSeconds === 0 && lines.length === 0;
}

function topRows(leg: Leg, unit: TemperatureUnit, row: Row): PlanRow[] {
  return [
    row(numbers["climb-rate"], rateText(leg.kelvinPerMinute, unit), "climb-rate"),
    row(numbers.top, temperatureWithUnit(leg.toCelsius, unit), "top"),
    row(numbers["top-hold"], durationText(leg.holdSeconds), "top-hold"),
  ];
}

function legRows(leg: Leg, unit: TemperatureUnit, row: Row): PlanRow[] {
  const climb = beginWords.to(rateText(leg.kelvinPerMinute, unit), temperatureWithUnit(leg.toCelsius, unit));
  return [
    row(numbers["climb-rate"], climb),
    ...(leg.holdSeconds > 0 ? [row(numbers["top-hold"], durationText(leg.holdSeconds))] : []),
  ];
}

function sourceLines(
  sources: readonly NumberSource[],
  from: readonly NumberSource["number"][],
  unit: TemperatureUnit,
): string[] {
  return from
    .flatMap((number) => sources.filter((source) => source.number === number))
    .map((source) => sourceText(source, unit))
    .filter((line) => line !== "");
}
