import { describe, expect, it } from "vitest";
import { heardColumn, temperatureColumns, touches, watched } from "#tests/helpers/heard";

// Real recordings (tests/reference/recordings/README.md). The intervals were worked out from the raw numbers
// by another program: blank cells; single readings more than 100 °C from the neighbour; |step| > 25 °C.
const HEALTHY = "carolfire_pt22_healthy.csv";
const INTERMITTENT = "carolfire_pt23_intermittent.csv";
const OPEN = "carolfire_pt30_open_circuit.csv";

describe("the faults of recorded thermocouples", () => {
  it.each(temperatureColumns(HEALTHY))("are none on the healthy %s", (column) => {
    expect(watched(heardColumn(HEALTHY, column)).episodes).toEqual([]);
  });

  it.each([
    [INTERMITTENT, "shroud_C"],
    [INTERMITTENT, "cable_9_C"],
    [OPEN, "shroud_C"],
    [OPEN, "cable_1_C"],
  ])("are none on the healthy neighbour in %s, %s", (file, column) => {
    expect(watched(heardColumn(file, column)).episodes).toEqual([]);
  });

  it("begin with the first departure of the intermittent one, and go on to its end", () => {
    const { episodes, faults } = watched(heardColumn(INTERMITTENT, "cable_8_C"));
    const first = Math.min(...episodes.map(({ fromSeconds }) => fromSeconds));
    // First departure at 1095.6 to 1096.6 s; the record ends at 3404.6 s.
    expect(first).toBeGreaterThanOrEqual(1095.6);
    expect(first).toBeLessThanOrEqual(1096.6);
    const intermittent = faults.find(({ kind }) => kind === "intermittent");
    expect(intermittent).toMatchObject({ needsPerson: true, isActive: true, episodes: 1 });
    expect(intermittent?.lastAtSeconds).toBeGreaterThan(3380);
    expect(intermittent?.seconds).toBeGreaterThan(2280);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "open",      from: 473,  to: 558,    kinds: ["open-circuit"] },
    { what: "open",      from: 573,  to: 596,    kinds: ["open-circuit"] },
    { what: "open",      from: 1100, to: 1370,   kinds: ["open-circuit"] },
    { what: "open",      from: 1372, to: 1876.1, kinds: ["open-circuit"] },
    { what: "a spike",   from: 472,  to: 472,    kinds: ["spikes", "intermittent"] },
    { what: "a spike",   from: 559,  to: 559,    kinds: ["spikes", "intermittent"] },
    { what: "a spike",   from: 597,  to: 597,    kinds: ["spikes", "intermittent"] },
    { what: "no value",  from: 598,  to: 599,    kinds: ["drop-outs", "open-circuit"] },
    { what: "a spike",   from: 600,  to: 600,    kinds: ["spikes", "intermittent"] },
    { what: "a spike",   from: 1098, to: 1099,   kinds: ["spikes", "intermittent"] },
    { what: "a spike",   from: 1371, to: 1371,   kinds: ["spikes", "intermittent"] },
  ])("are found where the notes say: $what from $from to $to s", ({ from, to, kinds }) => {
    expect(touches(watched(heardColumn(OPEN, "cable_2_C")).episodes, kinds, from, to)).toBe(true);
  });

  it("count every blank cell of the opened one, and nothing while it is healthy", () => {
    const heard = heardColumn(OPEN, "cable_2_C");
    const { faults, episodes } = watched(heard);
    const open = faults.find(({ kind }) => kind === "open-circuit");
    const dropOuts = faults.find(({ kind }) => kind === "drop-outs");
    const blanks = heard.filter(({ celsius }) => celsius === null).length;
    expect((open?.readings ?? 0) + (dropOuts?.readings ?? 0)).toBe(blanks);
    expect(
      touches(
        episodes,
        episodes.map(({ kind }) => kind),
        602,
        1096,
      ),
    ).toBe(false);
    expect(
      touches(
        episodes,
        episodes.map(({ kind }) => kind),
        -107,
        470,
      ),
    ).toBe(false);
  });
});
