import { FRAMEWORKS } from "#core/plan/bake-case";
import { legs } from "#core/plan/plan";
import { conditionText, type FurnaceNames } from "#kiosk-ui/components/condition-text";
import { coolingText, vacuumText } from "#kiosk-ui/components/plan-facts";
import { durationText, rateText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { changeText } from "#kiosk-ui/screens/plans/change-text";
import { conditionKey } from "#kiosk-ui/screens/plans/condition-key";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import type { Card, Plan } from "#shared/plan";

const words = plansWords.revisions;

/** What the words of a difference need to know. */
export interface DifferenceNames {
  readonly unit: TemperatureUnit;
  readonly furnaces: FurnaceNames;
  /** A material's name by its id. */
  readonly material: (materialId: number) => string;
}

/**
 * What a later card says differently from an earlier one, in words; the base plan's numbers first.
 * @returns empty where they say the same
 */
export function cardDifferences(before: Card, after: Card, names: DifferenceNames): string[] {
  return [
    ...planDifferences(before.plan, after.plan, names.unit),
    ...adaptationDifferences(before, after, names),
    ...limitDifferences(before, after, names.unit),
    ...said(words.material, materialOf(before, names), materialOf(after, names)),
  ];
}

function planDifferences(before: Plan, after: Plan, unit: TemperatureUnit): string[] {
  const { numbers } = plansWords;
  const celsius = (value: number) => temperatureWithUnit(value, unit);
  return [
    ...(before.name === after.name ? [] : [words.renamed(after.name, before.name)]),
    ...said(numbers.drying, durationText(before.dryingSeconds), durationText(after.dryingSeconds)),
    ...said(numbers.closing, durationText(before.closingSeconds), durationText(after.closingSeconds)),
    ...said(numbers.low, celsius(before.lowCelsius), celsius(after.lowCelsius)),
    ...said(numbers["low-hold"], durationText(before.lowHoldSeconds), durationText(after.lowHoldSeconds)),
    ...legDifferences(before, after, unit),
    ...said(words.vacuum, vacuumText(before, unit), vacuumText(after, unit)),
    ...said(words.cooling, coolingText(before.cooling, unit), coolingText(after.cooling, unit)),
    ...((before.notes ?? "") === (after.notes ?? "") ? [] : [words.notes]),
  ];
}

/** Climb by climb with the hold after each. */
function legDifferences(before: Plan, after: Plan, unit: TemperatureUnit): string[] {
  const [old, now] = [legs(before), legs(after)];
  return Array.from({ length: Math.max(old.length, now.length) }, (_, index) => {
    const [was, is] = [old[index], now[index]];
    const number = index + 1;
    if (was && is)
      return [
        ...said(
          words.climbTo(number),
          temperatureWithUnit(was.toCelsius, unit),
          temperatureWithUnit(is.toCelsius, unit),
        ),
        ...said(
          words.climbRate(number),
          rateText(was.kelvinPerMinute, unit),
          rateText(is.kelvinPerMinute, unit),
        ),
        ...said(words.hold(number), durationText(was.holdSeconds), durationText(is.holdSeconds)),
      ];
    const leg = is ?? was;
    if (!leg) return [];
    const climb = words.climb(
      number,
      temperatureWithUnit(leg.toCelsius, unit),
      rateText(leg.kelvinPerMinute, unit),
    );
    const whole =
      leg.holdSeconds > 0 ? `${climb}, ${words.hold(number)} ${durationText(leg.holdSeconds)}` : climb;
    return [is ? words.added(whole) : words.removed(whole)];
  }).flat();
}

function adaptationDifferences(before: Card, after: Card, names: DifferenceNames): string[] {
  const [old, now] = [byCondition(before, names), byCondition(after, names)];
  return [...new Set([...old.keys(), ...now.keys()])].flatMap((key) => {
    const [was, is] = [old.get(key), now.get(key)];
    if (!was) return is ? [words.added(words.when(is.name, is.changes))] : [];
    if (!is) return [words.removed(words.when(was.name, was.changes))];
    if (was.changes !== is.changes) return [words.was(words.when(is.name, is.changes), was.changes)];
    return was.basis === is.basis ? [] : [words.basis(is.name)];
  });
}

/** What a card changes under each condition, in one order, so that order makes no difference. */
function byCondition({ adaptations }: Card, { unit, furnaces }: DifferenceNames) {
  const found = new Map<string, { name: string; changes: string; basis: string }>();
  for (const key of new Set(adaptations.map(({ when }) => conditionKey(when)))) {
    const same = adaptations.filter(({ when }) => conditionKey(when) === key);
    const first = same[0];
    if (!first) continue;
    const changes = same.flatMap((adaptation) =>
      adaptation.changes.map((change) => changeText(change, unit)),
    );
    found.set(key, {
      name: conditionText(first.when, furnaces),
      changes: changes.sort().join(", "),
      basis: same
        .map(({ basis }) => basis ?? "")
        .sort()
        .join("; "),
    });
  }
  return found;
}

function limitDifferences(before: Card, after: Card, unit: TemperatureUnit): string[] {
  const limit = ({ limits }: Card, framework: (typeof FRAMEWORKS)[number]) => {
    const stated = limits.find((one) => one.framework === framework);
    return stated ? temperatureWithUnit(stated.topCelsius, unit) : words.none;
  };
  return FRAMEWORKS.flatMap((framework) =>
    said(words.limit(plansWords.frameworks[framework]), limit(before, framework), limit(after, framework)),
  );
}

function materialOf({ materialId }: Card, { material }: DifferenceNames): string {
  return materialId === null ? words.none : material(materialId);
}

function said(name: string, before: string, after: string): string[] {
  return before === after ? [] : [words.was(`${name} ${after}`, before)];
}
