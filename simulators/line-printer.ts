import type { BenchReading } from "#simulators/bench-furnace";

/**
 * How an adapter writes a reading: seconds of its own time, °C, hPa, share of full power. Written apart
 * from the daemon's parser on purpose: a shared codec would agree with its own mistakes.
 *
 *     pairs    s=123.0 T=512.4 P=1013.2 D=0.42
 *     columns  123.0;512.4;1013.2
 *     number   512.4
 *     json     {"s":123.0,"T":512.4,"P":1013.2}
 */
export const LINE_FORMATS = ["pairs", "columns", "number", "json"] as const;
export type LineFormat = (typeof LINE_FORMATS)[number];

/** What stands in place of the temperature when the thermocouple is broken. */
export const OPEN_CIRCUIT_WORD = "OPEN";

/** A reading to be printed; without a temperature the thermocouple is broken. */
export type PrintedReading = Omit<BenchReading, "celsius"> & { readonly celsius: number | null };

/**
 * One line with its ending.
 * @example printedLine({ elapsedSeconds: 123, celsius: 512.4, hectopascals: 1013.2, heaterDutyFraction: 0.42 }, "pairs") // "s=123.0 T=512.4 P=1013.2 D=0.42\r\n"
 */
export function printedLine(reading: PrintedReading, format: LineFormat): string {
  return `${lineText(reading, format)}\r\n`;
}

function lineText(reading: PrintedReading, format: LineFormat): string {
  const seconds = reading.elapsedSeconds.toFixed(1);
  const celsius = reading.celsius?.toFixed(1);
  const hectopascals = reading.hectopascals.toFixed(1);
  const shown = celsius ?? OPEN_CIRCUIT_WORD;
  switch (format) {
    case "pairs":
      return `s=${seconds} T=${shown} P=${hectopascals} D=${reading.heaterDutyFraction.toFixed(2)}`;
    case "columns":
      return `${seconds};${shown};${hectopascals}`;
    case "number":
      return shown;
    case "json":
      return `{"s":${seconds},"T":${celsius ?? `"${OPEN_CIRCUIT_WORD}"`},"P":${hectopascals}}`;
  }
}
