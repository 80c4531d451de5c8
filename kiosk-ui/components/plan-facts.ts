import { type Cooling, legs, type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds } from "#core/plan/setpoint";
import {
  durationText,
  pressureText,
  rateText,
  type TemperatureUnit,
  temperatureWithUnit,
} from "#kiosk-ui/format";
import { words } from "#kiosk-ui/words";

/** A plan in one line: drying, top, hold, length. */
export function planFacts(plan: Plan, unit: TemperatureUnit): string {
  const hold = highestLeg(plan)?.holdSeconds ?? 0;
  return [
    `${temperatureWithUnit(topCelsius(plan), unit)}, ${words.plans.hold} ${durationText(hold)}`,
    `${words.stages.drying.toLowerCase()} ${durationText(dryingSeconds(plan))}`,
    words.plans.inAll(durationText(planLengthSeconds(plan))),
  ].join(" · ");
}

/** A plan as pairs of words and values, for a table. */
export function planTable(plan: Plan, unit: TemperatureUnit): readonly (readonly [string, string])[] {
  const planLegs = legs(plan);
  return [
    [words.plans.drying, durationText(dryingSeconds(plan))],
    [words.plans.low, temperatureWithUnit(plan.lowCelsius, unit)],
    ...planLegs.flatMap((leg): [string, string][] => [
      [
        words.plans.climb,
        `${rateText(leg.kelvinPerMinute, unit)} to ${temperatureWithUnit(leg.toCelsius, unit)}`,
      ],
      ...(leg.holdSeconds > 0
        ? ([[words.plans.hold, durationText(leg.holdSeconds)]] satisfies [string, string][])
        : []),
    ]),
    [words.plans.vacuum, vacuumText(plan, unit)],
    [words.plans.cooling, coolingText(plan.cooling, unit)],
    [words.plans.length, lengthText(plan)],
  ];
}

function dryingSeconds(plan: Plan): number {
  return legs(plan)[0]?.climbStartSeconds ?? plan.dryingSeconds + plan.closingSeconds;
}

function highestLeg(plan: Plan) {
  return legs(plan).find((leg) => leg.toCelsius === topCelsius(plan));
}

/** When the pump runs, in words; "none, in air" where it does not. */
export function vacuumText(plan: Plan, unit: TemperatureUnit): string {
  if (!plan.vacuum) return words.plans.noVacuum;
  const { levelHectopascals, onAtCelsius, release } = plan.vacuum;
  const until =
    release.kind === "at-temperature"
      ? words.plans.vacuumUntilTemperature(temperatureWithUnit(release.celsius, unit))
      : words.plans.vacuumUntil[release.kind];
  return `${words.plans.vacuumFrom(pressureText(levelHectopascals), temperatureWithUnit(onAtCelsius, unit))} ${until}`;
}

/** How a piece cools, in words. */
export function coolingText(cooling: Cooling, unit: TemperatureUnit): string {
  if (cooling.kind === "steady")
    return words.plans.coolingSteady(
      rateText(cooling.kelvinPerMinute, unit),
      temperatureWithUnit(cooling.toCelsius, unit),
    );
  const { openAtCelsius } = cooling;
  return openAtCelsius === undefined
    ? words.plans.coolingFree
    : words.plans.coolingFreeTo(temperatureWithUnit(openAtCelsius, unit));
}

function lengthText(plan: Plan): string {
  const length = durationText(planLengthSeconds(plan));
  return plan.cooling.kind === "free" ? `${length}, ${words.plans.lengthWithoutCooling}` : length;
}
