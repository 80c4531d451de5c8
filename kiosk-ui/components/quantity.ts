import { celsiusFromFahrenheit, fahrenheitFromCelsius } from "#core/units";
import {
  differenceInUnit,
  differenceSign,
  durationText,
  numberText,
  type TemperatureUnit,
  unitSign,
} from "#kiosk-ui/format";

/** What a number that a person sets is counted in; `bare` brings its own sign, such as kJ/mol. */
export type QuantityKind = "temperature" | "difference" | "rate" | "duration" | "pressure" | "bare";

/** How a number is shown. */
export interface QuantityStyle {
  readonly kind: QuantityKind;
  readonly unit: TemperatureUnit;
  readonly decimals: number;
  /** The unit of a bare number; empty for none. */
  readonly sign: string;
  /** True for differences: a plus stands before what is more. */
  readonly isSigned: boolean;
}

const SECONDS_PER_MINUTE = 60;
const JOIN = "\u00a0";

/** A canonical number (°C, K, K/min, s, hPa) as the page's unit counts it. */
export function shownQuantity(value: number, { kind, unit }: QuantityStyle): number {
  if (kind === "temperature") return unit === "fahrenheit" ? fahrenheitFromCelsius(value) : value;
  return kind === "difference" || kind === "rate" ? differenceInUnit(value, unit) : value;
}

/** What was set in the page's unit, canonical. */
export function canonicalQuantity(shown: number, { kind, unit }: QuantityStyle): number {
  if (kind === "temperature") return unit === "fahrenheit" ? celsiusFromFahrenheit(shown) : shown;
  return kind === "difference" || kind === "rate" ? shown / differenceInUnit(1, unit) : shown;
}

/** The sign of the unit; none for times, which say it by their colon. */
export function quantitySign({ kind, unit, sign }: QuantityStyle): string {
  switch (kind) {
    case "temperature":
      return unitSign(unit);
    case "difference":
      return differenceSign(unit);
    case "rate":
      return `${differenceSign(unit)}/min`;
    case "pressure":
      return "hPa";
    case "duration":
      return "";
    case "bare":
      return sign;
  }
}

/** A canonical number as it is read: "760 °C", "+10 K", "1:30". */
export function quantityText(value: number, style: QuantityStyle): string {
  const shown = shownQuantity(value, style);
  const figures =
    style.kind === "duration" ? durationText(Math.abs(shown)) : numberText(Math.abs(shown), style.decimals);
  const isNothing = Number(figures.replaceAll(":", "")) === 0;
  const before = isNothing ? "" : shown < 0 ? "−" : style.isSigned ? "+" : "";
  return [before + figures, quantitySign(style)].filter(Boolean).join(JOIN);
}

/**
 * The next whole step in a direction, canonical, so that stepping tidies what was measured.
 * @param step       in the unit shown
 * @param direction  1 for more, −1 for less
 */
export function steppedQuantity(
  value: number,
  step: number,
  direction: 1 | -1,
  style: QuantityStyle,
): number {
  const steps = shownQuantity(value, style) / step;
  const next = direction > 0 ? Math.floor(steps + 1e-6) + 1 : Math.ceil(steps - 1e-6) - 1;
  return canonicalQuantity(Number((next * step).toFixed(6)), style);
}

/**
 * What was typed, canonical; null for no number. A time is typed by its digits, the last two of them seconds:
 * "130" is 1:30.
 */
export function typedQuantity(typed: string, style: QuantityStyle): number | null {
  const shown = style.kind === "duration" ? typedSeconds(typed) : Number(typed);
  return typed === "" || typed === "-" || !Number.isFinite(shown) ? null : canonicalQuantity(shown, style);
}

/** What was typed so far, as it is read while typing. */
export function typedText(typed: string, { kind }: QuantityStyle): string {
  const isLess = typed.startsWith("-");
  const figures = typed.replace("-", "");
  if (figures === "") return isLess ? "−" : "–";
  const shown =
    kind === "duration" ? `${Number(figures.slice(0, -2))}:${figures.slice(-2).padStart(2, "0")}` : figures;
  return `${isLess ? "−" : ""}${shown}`;
}

function typedSeconds(typed: string): number {
  const figures = typed.replace("-", "");
  const seconds = Number(figures.slice(0, -2)) * SECONDS_PER_MINUTE + Number(figures.slice(-2));
  return typed.startsWith("-") ? -seconds : seconds;
}
