import { readFileSync } from "node:fs";
import type { Sample } from "#core/trace/trace";

const FOLDER = new URL("../reference/recordings/", import.meta.url);

/**
 * A recording of `tests/reference/recordings` as a trace in °C.
 * @param file  its name
 * @param run   which run, where the file holds several
 */
export function recording(file: string, run?: number): Sample[] {
  const [header = "", ...lines] = readFileSync(new URL(file, FOLDER), "utf8").trim().split("\n");
  const columns = header.split(",");
  const column = columns.findIndex((name) => name === "temp_K" || name.endsWith("_C"));
  const offset = columns[column] === "temp_K" ? 273.15 : 0;
  return lines
    .map((line) => line.split(","))
    .filter((cells) => run === undefined || cells[columns.indexOf("run")] === String(run))
    .filter((cells) => cells[column] !== "")
    .map((cells) => ({
      atSeconds: Number(cells[columns.indexOf("time_s")]),
      celsius: Number(cells[column]) - offset,
    }));
}
