import type { Trace } from "#core/trace/trace";

/**
 * A trace as it reads: minutes:°C, one sample a point.
 * @example trace("0:25 10:900 20:900")
 */
export function trace(points: string): Trace {
  return points
    .trim()
    .split(/\s+/)
    .map((point) => {
      const [minutes, celsius] = point.split(":").map(Number);
      if (minutes === undefined || celsius === undefined || !Number.isFinite(minutes + celsius))
        throw new RangeError(`trace requires points like 10:900, got ${point}`);
      return { atSeconds: minutes * 60, celsius };
    });
}

/** The same line sampled at an even step, as an instrument would; the last instant is kept. */
export function sampled(corners: Trace, everySeconds: number): Trace {
  const endSeconds = corners.at(-1)?.atSeconds ?? 0;
  const samples: Trace[number][] = [];
  for (let step = 0; step * everySeconds < endSeconds; step++)
    samples.push({ atSeconds: step * everySeconds, celsius: celsiusOnLine(corners, step * everySeconds) });
  return [...samples, { atSeconds: endSeconds, celsius: celsiusOnLine(corners, endSeconds) }];
}

/** °C on the straight line between the samples around a moment. */
export function celsiusOnLine(corners: Trace, atSeconds: number): number {
  const next = corners.findIndex((corner) => corner.atSeconds >= atSeconds);
  const to = corners[next];
  if (!to) throw new RangeError(`celsiusOnLine requires a moment inside the trace, got ${atSeconds} s`);
  const from = corners[next - 1];
  if (!from) return to.celsius;
  const share = (atSeconds - from.atSeconds) / (to.atSeconds - from.atSeconds);
  return from.celsius + share * (to.celsius - from.celsius);
}
