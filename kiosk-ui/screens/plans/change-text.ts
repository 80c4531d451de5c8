import type { PlanNumber } from "#core/plan/card";
import { coolingText } from "#kiosk-ui/components/plan-facts";
import {
  differenceWithUnit,
  durationText,
  numberText,
  pressureText,
  rateText,
  type TemperatureUnit,
  temperatureWithUnit,
} from "#kiosk-ui/format";
import { plansWords as words } from "#kiosk-ui/screens/plans/plans-words";
import type { PlanChange } from "#shared/plan";

/** What a number of a plan is counted in. */
export type PlanQuantity = "duration" | "temperature" | "rate" | "pressure";

const QUANTITIES: Readonly<Record<PlanNumber, PlanQuantity>> = {
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

/** What a number of a plan is counted in: a time, a temperature, a rate or a pressure. */
export function planQuantity(number: PlanNumber): PlanQuantity {
  return QUANTITIES[number];
}

/** A number of a plan with its unit. */
export function planNumberText(number: PlanNumber, value: number, unit: TemperatureUnit): string {
  switch (QUANTITIES[number]) {
    case "duration":
      return durationText(value);
    case "temperature":
      return temperatureWithUnit(value, unit);
    case "rate":
      return rateText(value, unit);
    case "pressure":
      return pressureText(value);
  }
}

/** One change of one number as it is said: "top 10 K lower", "hold at the top 0:10". */
export function changeText(change: PlanChange, unit: TemperatureUnit): string {
  if (change.kind === "cooling") return words.change.set(words.numbers.cooling, coolingText(change.to, unit));
  const name = words.numbers[change.number];
  if (change.kind === "set") return words.change.set(name, planNumberText(change.number, change.to, unit));
  return shiftText(change.number, change.by, name, unit);
}

function shiftText(number: PlanNumber, by: number, name: string, unit: TemperatureUnit): string {
  if (by === 0) return words.change.same(name);
  const isMore = by > 0;
  const { longer, shorter, higher, lower, faster, slower } = words.change;
  switch (QUANTITIES[number]) {
    case "duration":
      return (isMore ? longer : shorter)(name, durationText(Math.abs(by)));
    case "temperature":
      return (isMore ? higher : lower)(name, differenceWithUnit(by, unit, decimalsOf(by)));
    case "rate":
      return (isMore ? faster : slower)(name, rateText(Math.abs(by), unit));
    case "pressure":
      return (isMore ? higher : lower)(name, `${numberText(Math.abs(by))}\u00a0hPa`);
  }
}

function decimalsOf(kelvin: number): number {
  return Number.isInteger(kelvin) ? 0 : 1;
}
