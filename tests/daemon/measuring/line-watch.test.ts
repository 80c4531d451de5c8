import { describe, expect, it } from "vitest";
import type { Reading } from "#daemon/link/reading";
import { type LineWatch, NEW_LINE_WATCH, nextLineWatch } from "#daemon/measuring/line-watch";
import { measuredMoment } from "#daemon/measuring/measured-moment";
import type { Probe } from "#shared/probe";
import { probeS } from "#tests/daemon/store/store-fixtures";

/** The watch after a reading a second, on the stream's time. */
function heard(
  before: LineWatch,
  fromSeconds: number,
  toSeconds: number,
  channels: (second: number) => Partial<Reading>,
  probe: Probe = probeS,
): LineWatch {
  let watch = before;
  for (let second = fromSeconds; second < toSeconds; second += 1) {
    const said = { furnaceId: "one", receivedAtSeconds: second, receivedAtEpochMilliseconds: 0 };
    watch = nextLineWatch(watch, measuredMoment(second, { ...said, ...channels(second) }, probe), probe);
  }
  return watch;
}

const open = () => ({ sensorWord: "open-circuit" as const });
const well = (second: number) => ({ celsius: 500 + (second % 3) / 10 });
const kinds = ({ watch }: LineWatch) => watch.faults.map(({ kind }) => kind);

describe("the watch over a line", () => {
  it("tells what is wrong while it lasts", () => {
    const watch = heard(NEW_LINE_WATCH, 0, 20, open);
    expect(watch.watch.faults).toMatchObject([{ kind: "open-circuit", isActive: true }]);
    const mended = heard(watch, 20, 60, well);
    expect(mended.watch.faults).toMatchObject([{ kind: "open-circuit", isActive: false }]);
  });

  it("forgets after half an hour what is over", () => {
    const mended = heard(heard(NEW_LINE_WATCH, 0, 20, open), 20, 1800, well);
    expect(kinds(mended)).toEqual(["open-circuit"]);
    expect(kinds(heard(mended, 1800, 1900, well))).toEqual([]);
  });

  it("begins anew with another type of thermocouple", () => {
    const watch = heard(NEW_LINE_WATCH, 0, 20, open);
    expect(kinds(heard(watch, 20, 21, well, { ...probeS, type: "R" }))).toEqual([]);
    expect(kinds(heard(watch, 20, 21, well, { ...probeS, positionKelvin: 9 }))).toEqual(["open-circuit"]);
  });
});
