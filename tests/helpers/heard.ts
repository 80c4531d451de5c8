import { readFileSync } from "node:fs";
import type { Episode } from "#core/thermocouple/fault-episodes";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { type FaultWatch, type Heard, NEW_WATCH, nextFaultWatch } from "#core/thermocouple/sensor-faults";

const FOLDER = new URL("../reference/recordings/", import.meta.url);

/** One column of a recording as a probe was heard: an empty cell is a reading without a value. */
export function heardColumn(file: string, column: string): Heard[] {
  const [header = "", ...lines] = readFileSync(new URL(file, FOLDER), "utf8").trim().split("\n");
  const names = header.split(",");
  const [time, value] = [names.indexOf("time_s"), names.indexOf(column)];
  return lines.map((line) => {
    const cells = line.split(",");
    const cell = cells[value] ?? "";
    return { atSeconds: Number(cells[time]), celsius: cell === "" ? null : Number(cell) };
  });
}

/** The columns of a recording that hold temperatures. */
export function temperatureColumns(file: string): string[] {
  const [header = ""] = readFileSync(new URL(file, FOLDER), "utf8").split("\n", 1);
  return header.split(",").filter((name) => name.endsWith("_C"));
}

/** A watch that has heard all of this. */
export function watched(heard: Iterable<Heard>, type: ThermocoupleType | null = "K"): FaultWatch {
  let watch = NEW_WATCH;
  for (const one of heard) watch = nextFaultWatch(watch, one, type);
  return watch;
}

/** Readings a second apart as they read: a number, `-` for none, `a*n` for n times, `a..b*n` for a straight line. */
export function heardSeries(text: string, firstSeconds = 0): Heard[] {
  const values = text
    .trim()
    .split(/\s+/)
    .flatMap((word): (number | null)[] => {
      const [what = "", count = "1"] = word.split("*");
      const [from, to] = what.split("..");
      const times = Number(count);
      if (what === "-") return Array<null>(times).fill(null);
      if (to === undefined) return Array<number>(times).fill(Number(from));
      return Array.from(
        { length: times },
        (_, index) => Number(from) + ((Number(to) - Number(from)) * index) / (times - 1),
      );
    });
  return values.map((celsius, index) => ({ atSeconds: firstSeconds + index, celsius }));
}

/** Whether an episode of a kind touches a stretch. */
export function touches(
  episodes: readonly Episode[],
  kinds: readonly string[],
  from: number,
  to: number,
): boolean {
  return episodes.some(
    ({ kind, fromSeconds, toSeconds }) => kinds.includes(kind) && fromSeconds <= to && toSeconds >= from,
  );
}
