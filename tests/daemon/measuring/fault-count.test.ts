import { describe, expect, it } from "vitest";
import { countedFaults, ended, faultCountAfter, nextFaultCount } from "#daemon/measuring/fault-count";
import { openCircuit } from "#tests/daemon/store/store-fixtures";

/** A bake of which an open circuit is heard once a second, then an ordinary reading. */
function opened(fromSeconds: number, seconds: number, before = faultCountAfter([])) {
  let count = before;
  for (let second = 0; second < seconds; second += 1) {
    const heard = { atSeconds: fromSeconds + second, celsius: null, sensorWord: "open-circuit" } as const;
    count = nextFaultCount(count, heard, "K");
  }
  return nextFaultCount(count, { atSeconds: fromSeconds + seconds, celsius: 500 }, "K");
}

describe("the faults of a bake", () => {
  it("are those that its watch saw", () => {
    expect(countedFaults(opened(10, 4))).toMatchObject([
      { kind: "open-circuit", episodes: 1, readings: 4, firstAtSeconds: 10, lastAtSeconds: 13 },
    ]);
  });

  it("go on from what was kept before a restart", () => {
    const [fault, ...others] = countedFaults(opened(100, 6, faultCountAfter([openCircuit])));
    expect(others).toEqual([]);
    expect(fault).toMatchObject({
      kind: "open-circuit",
      episodes: 2,
      readings: 10,
      seconds: 9,
      firstAtSeconds: 10,
      lastAtSeconds: 105,
    });
  });

  it("keep what was kept, also when nothing more comes, and nothing of it lasts", () => {
    const kept = { ...openCircuit, isActive: true };
    expect(countedFaults(faultCountAfter([kept]))).toEqual([openCircuit]);
  });

  it("are ended with the bake", () => {
    expect(ended([{ ...openCircuit, isActive: true }])).toEqual([openCircuit]);
  });
});
