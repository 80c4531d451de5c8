import type { GlassPoint } from "#core/heat/glass-outcome";

/** Air at sea level, hPa: one standard atmosphere. */
export const AIR_HECTOPASCALS = 1013.25;

/** A firing as the worked examples have it: climb, hold, cooling; the pressure in steps. */
export interface FiredLayer {
  readonly fromCelsius?: number;
  readonly topCelsius?: number;
  readonly kelvinPerMinute?: number;
  readonly holdSeconds?: number;
  /** The layer is colder or hotter than the chamber by this. */
  readonly offsetKelvin?: number;
  /** The pressure from a moment on, in rising time from 0; an end of the climb is "top". */
  readonly pressures?: readonly { readonly from: number | "top"; readonly hectopascals: number }[];
  /** Beside the corners, a sample every so many seconds. */
  readonly everySeconds?: number;
}

/** When a climb is at its top, s. */
export function topSeconds({
  fromCelsius = 450,
  topCelsius = 760,
  kelvinPerMinute = 45,
}: FiredLayer = {}): number {
  return (60 * (topCelsius - fromCelsius)) / kelvinPerMinute;
}

/**
 * The history of a layer: 450 to 760 °C at 45 K/min, 60 s, down at 60 K/min to 600 °C, unless told otherwise.
 * Where the pressure steps there are two samples at one moment.
 */
export function firedLayer(fired: FiredLayer = {}): GlassPoint[] {
  const { fromCelsius = 450, topCelsius = 760, kelvinPerMinute = 45, holdSeconds = 60 } = fired;
  const top = topSeconds(fired);
  const end = top + holdSeconds + Math.max(0, topCelsius - 600);
  const celsiusAt = (seconds: number) =>
    Math.min(fromCelsius + (seconds * kelvinPerMinute) / 60, topCelsius) -
    Math.max(0, seconds - top - holdSeconds);
  const steps = (fired.pressures ?? []).map(({ from, hectopascals }) => ({
    fromSeconds: from === "top" ? top : from,
    hectopascals,
  }));
  const grid = fired.everySeconds
    ? Array.from({ length: Math.ceil(end / fired.everySeconds) }, (_, n) => n * (fired.everySeconds ?? 0))
    : [];
  const moments = new Set([
    0,
    top,
    top + holdSeconds,
    end,
    ...steps.map((step) => step.fromSeconds),
    ...grid,
  ]);
  return [...moments]
    .filter((seconds) => seconds <= end)
    .sort((a, b) => a - b)
    .flatMap((atSeconds) => {
      const point = { atSeconds, celsius: celsiusAt(atSeconds) + (fired.offsetKelvin ?? 0) };
      const before = steps.findLast((step) => step.fromSeconds < atSeconds);
      const after = steps.findLast((step) => step.fromSeconds <= atSeconds);
      if (!after) return [point];
      if (!before || before === after) return [{ ...point, hectopascals: after.hectopascals }];
      return [before, after].map(({ hectopascals }) => ({ ...point, hectopascals }));
    });
}
