import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { isDeepStrictEqual } from "node:util";
import { afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Sample } from "#shared/sample";
import { bakeside, buildProgram, ended } from "#tests/helpers/built-program";
import {
  fromZero,
  House,
  type Kiosk,
  LINE_FORMAT,
  type SpokenLine,
  spokenLines,
} from "#tests/journeys/house";

/** Recorded seconds in one second of the wall. */
const SPEED = 300;
/** Both recordings begin below this and only leave it by their climb, °C. */
const AT_REST_CELSIUS = 35;
/** What the instrument says while the line is away, a minute of it. */
const LINES_UNHEARD = 60;

let house: House;

beforeAll(buildProgram, 120_000);
beforeEach(() => {
  house = new House();
});
afterEach(() => house.close());

const samplesOf = (lines: readonly SpokenLine[]) => lines.map(({ sample }) => sample);

/** Settles when the store has so many samples of a bake. */
async function storedCount(kiosk: Kiosk, bakeId: number, count: number): Promise<void> {
  await expect.poll(async () => (await kiosk.stored(bakeId)).length, { timeout: 20_000 }).toBe(count);
}

/**
 * A recording parted by the bake that was stored of it: the bake is where the lines after the first of it are
 * as far apart and as warm as in the store.
 */
function partsAround(lines: readonly SpokenLine[], stored: readonly Sample[]) {
  const samples = samplesOf(lines);
  const starts = samples.flatMap((_, start) => {
    const piece = fromZero(samples.slice(start, start + stored.length));
    return isDeepStrictEqual(piece, [...stored]) ? [start] : [];
  });
  expect(starts).toHaveLength(1);
  const [start = 0] = starts;
  const end = start + stored.length;
  return {
    before: samples.slice(0, start),
    within: samples.slice(start, end),
    after: samples.slice(end),
  };
}

/** The bake that the command line exports as CSV. */
async function exported(bakeId: number): Promise<Sample[]> {
  const { code, out, notes } = await ended(
    bakeside(["export", String(bakeId), "--csv", "--data", house.data]),
  );
  expect({ code, notes }).toEqual({ code: 0, notes: "" });
  const [header, ...rows] = out.trimEnd().split("\n");
  expect(header).toMatch(/^seconds,celsius,/);
  return rows.map((row) => {
    const [seconds, celsius] = row.split(",");
    return { atSeconds: Number(seconds), celsius: Number(celsius) };
  });
}

describe("a recording replayed through a pseudo-terminal", () => {
  // 50 K/min from 31 to 801 °C, then a hold: tests/reference/recordings/README.md
  it("is stored sample for sample, open, closed and exported", async () => {
    const lines = spokenLines("macfp_tubs_50Kmin_3runs.csv", 1);
    const port = await house.port();
    const kiosk = await house.serve("--port", port.name, "--format", LINE_FORMAT);
    const [plan] = await kiosk.plans();
    const { bake } = await kiosk.begin(plan?.planId ?? 0);
    await port.isHeardBy(kiosk);
    await port.replay(lines, SPEED);
    await storedCount(kiosk, bake.id, lines.length);
    expect(await kiosk.stored(bake.id)).toEqual(samplesOf(lines));

    const closed = await kiosk.closeBake(bake.id);
    expect(closed.bake).toMatchObject({ state: "finished", sampleCount: lines.length, gapSeconds: 0 });
    expect(await kiosk.stored(bake.id)).toEqual(samplesOf(lines));
    expect(await exported(bake.id)).toEqual(samplesOf(lines));
    expect(await kiosk.bakes()).toHaveLength(1);
    expect(kiosk.furnace().link).toMatchObject({ acceptedLines: lines.length, refusedLines: 0 });
    expect(await kiosk.stop()).toMatchObject({ code: 0, notes: "" });
    expect(await exported(bake.id)).toEqual(samplesOf(lines));
  });

  // A wall heater that climbs to 475 °C, holds and cools: tests/reference/recordings/README.md
  it("opens and closes its bake by itself and misses nothing between", async () => {
    const lines = spokenLines("carolfire_shroud_8runs.csv", 1);
    const port = await house.port();
    const kiosk = await house.serve("--port", port.name, "--format", LINE_FORMAT);
    await port.isHeardBy(kiosk);
    await port.replay(lines, SPEED);
    await kiosk.until(() => kiosk.finished.length === 1);
    const [bake, ...others] = await kiosk.bakes();
    expect(others).toEqual([]);
    expect(bake).toMatchObject({ state: "finished", gapSeconds: 0 });
    const stored = await kiosk.stored(bake?.id ?? 0);
    const { before, within, after } = partsAround(lines, stored);
    expect(stored).toEqual(fromZero(within));
    expect(Math.max(...before.map(({ celsius }) => celsius))).toBeLessThan(AT_REST_CELSIUS);
    expect(Math.max(...after.map(({ celsius }) => celsius))).toBeLessThan(250);
    expect(await exported(bake?.id ?? 0)).toEqual(stored);
  });

  it("is one bake with one gap when the line vanishes half-way and comes back under its name", async () => {
    const lines = spokenLines("macfp_tubs_50Kmin_3runs.csv", 8);
    const half = Math.floor(lines.length / 2);
    const [first, second] = [lines.slice(0, half), lines.slice(half + LINES_UNHEARD)];
    const port = await house.port();
    const kiosk = await house.serve("--port", port.name, "--format", LINE_FORMAT);
    const [plan] = await kiosk.plans();
    const { bake } = await kiosk.begin(plan?.planId ?? 0);
    await port.isHeardBy(kiosk);
    await port.replay(first, SPEED);
    await storedCount(kiosk, bake.id, first.length);
    port.say(`s=${lines[half + 5]?.sample.atSeconds.toFixed(1)} T=4`);
    await port.vanish();
    await kiosk.until(() => kiosk.furnace().link.kind === "waiting");
    expect(kiosk.furnace().link.message).toMatch(/^Lost [^\n]+ Plug it in\.$/);
    await port.appear();
    await port.isHeardBy(kiosk, "02.11\n"); // glued to what came before, this would be a reading
    await port.replay(second, SPEED);
    await storedCount(kiosk, bake.id, first.length + second.length);

    const gap = {
      fromSeconds: first.at(-1)?.sample.atSeconds ?? 0,
      toSeconds: second[0]?.sample.atSeconds ?? 0,
    };
    const closed = await kiosk.closeBake(bake.id);
    expect(closed.comparison?.gaps).toEqual([gap]);
    expect(closed.bake.gapSeconds).toBeCloseTo(gap.toSeconds - gap.fromSeconds, 6);
    expect(await kiosk.stored(bake.id)).toEqual(samplesOf([...first, ...second]));
    expect(await kiosk.bakes()).toHaveLength(1);
    expect(kiosk.furnace().link).toMatchObject({ refusedLines: 0, overlongLines: 0 });
  });
});

describe("a recorded file in place of a port", () => {
  it("is fired at speed and stored from its climb to its last line", async () => {
    const lines = spokenLines("macfp_tubs_50Kmin_3runs.csv", 15);
    const file = join(house.folder, "fired.csv");
    const rows = samplesOf(lines).map(({ atSeconds, celsius }) => `${atSeconds},${celsius}`);
    writeFileSync(file, `seconds,celsius\n${rows.join("\n")}\n`);
    const kiosk = await house.serve("--port", file, "--speed", String(SPEED));
    await kiosk.until(() => kiosk.furnace().link.message?.endsWith("is at its end.") ?? false);
    const [bake, ...others] = await kiosk.bakes();
    expect(others).toEqual([]);
    const closed = await kiosk.closeBake(bake?.id ?? 0);
    const stored = await kiosk.stored(closed.bake.id);
    const { before, within, after } = partsAround(lines, stored);
    expect(stored).toEqual(fromZero(within));
    expect(Math.max(...before.map(({ celsius }) => celsius))).toBeLessThan(AT_REST_CELSIUS);
    expect(after).toEqual([]);
    expect(closed.bake).toMatchObject({ state: "finished", gapSeconds: 0 });
    expect(await exported(closed.bake.id)).toEqual(stored);
  });
});
