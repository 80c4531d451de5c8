import { median } from "#core/statistics/median";
import type { Heard } from "#core/thermocouple/sensor-faults";

/** What a row of a file said of the probe. */
export interface HeardRow {
  readonly heard: Heard;
  /** True where the cell was empty, not a word that there is no reading. */
  readonly isEmpty: boolean;
}

/**
 * What was heard of the probe, without rows that are another channel's. Where most readings are followed by
 * empty cells, the file was put together of instruments that speak in turn: so many empty rows, and half as many
 * again, are silence by habit. Longer stretches are kept: there the probe said nothing.
 * @param rows in rising time
 */
export function heardRows(rows: readonly HeardRow[]): Heard[] {
  const stretches = emptyStretches(rows);
  const habit = 1.5 * (stretches.length > 0 ? median(stretches) : 0);
  const heard: Heard[] = [];
  let stretch = 0;
  for (const row of rows) {
    if (row.isEmpty) stretch++;
    else stretch = 0;
    if (!row.isEmpty || stretch > habit) heard.push(row.heard);
  }
  return heard;
}

/** How many empty rows stand behind each reading but the last. */
function emptyStretches(rows: readonly HeardRow[]): number[] {
  const readings = rows.flatMap(({ isEmpty }, index) => (isEmpty ? [] : index));
  return readings.slice(1).map((index, before) => index - (readings[before] ?? 0) - 1);
}
