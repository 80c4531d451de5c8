import { setTimeout as pause } from "node:timers/promises";
import { isDeepStrictEqual } from "node:util";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Sample, Trace } from "#core/trace/trace";
import { openPty, type Pty } from "#simulators/pty";
import { buildProgram, endPrograms, served } from "#tests/helpers/built-program";
import { temporaryFolder } from "#tests/helpers/call";
import { HouseCall, until } from "#tests/helpers/house-call";
import { recording } from "#tests/helpers/recording";

/** Seconds of the recording in one second of the wall. */
const SPEED = 300;
const FORMAT = "pairs:s=seconds,T=celsius,P=hectopascals";

const folder = temporaryFolder();
const ptys: Pty[] = [];
beforeAll(buildProgram, 120_000);
afterAll(async () => {
  endPrograms();
  await Promise.all(ptys.map((pty) => pty.close()));
  folder.remove();
});

// Recordings by other people on real heaters: tests/reference/recordings/README.md.
describe("a recording replayed through a pseudo-terminal into the daemon", () => {
  it("is stored sample for sample, begun by hand or by its own climb", async () => {
    // 50 K/min to 1074 K, which ends hot; and a wall heater that overshoots and cools down again.
    const byHand = printed(recording("macfp_tubs_50Kmin_3runs.csv", 1));
    const byItself = printed(recording("carolfire_shroud_8runs.csv", 1));
    const [first, second] = [await pty(), await pty()];
    const ports = ["--port", first.path, "--port", second.path, "--format", FORMAT];
    const { address, child, end } = await served(`${folder.path}/data`, ports);
    const house = new HouseCall(address);
    await house.lineIs("furnace-1", "listening");
    await house.lineIs("furnace-2", "listening");

    const { plans } = await house.snapshot();
    const begun = await house.begin("furnace-1", { planId: plans[0]?.planId ?? 0, jobNumber: "REPLAY-1" });
    await Promise.all([replay(first, byHand), replay(second, byItself)]);

    await until(async () => expect((await house.bake(begun.bake.id)).bake.sampleCount).toBe(byHand.length));
    const { bake, comparison } = await house.close(begun.bake.id);
    expect(bake).toMatchObject({ state: "finished", jobNumber: "REPLAY-1", gapSeconds: 0 });
    expect(comparison?.peakCelsius).toBeCloseTo(Math.max(...byHand.map(({ celsius }) => celsius)), 0);
    expect(await house.samples(bake.id)).toEqual(fromZero(byHand));

    const opened = await until(async () => {
      const found = (await house.bakes()).filter(({ furnaceId }) => furnaceId === "furnace-2");
      expect(found.map(({ state }) => state)).toEqual(["finished"]);
      return found[0]?.id ?? 0;
    });
    const stored = await house.samples(opened);
    // It has the rest before the climb and the way down, until the heater counted as being at rest again.
    const start = byItself.findIndex((_, index) =>
      isDeepStrictEqual(fromZero(byItself.slice(index, index + stored.length)), stored),
    );
    expect(start).toBeGreaterThanOrEqual(0);
    const peak = Math.max(...byItself.map(({ celsius }) => celsius));
    expect(stored[0]?.celsius).toBeLessThan((byItself[0]?.celsius ?? 0) + 1);
    expect(Math.max(...stored.map(({ celsius }) => celsius))).toBe(peak);
    expect(stored.at(-1)?.celsius).toBeLessThan(peak / 2);

    child.kill("SIGTERM");
    expect(await end).toMatchObject({ code: 0 });
    const again = await served(`${folder.path}/data`);
    expect(await new HouseCall(again.address).samples(bake.id)).toEqual(fromZero(byHand));
  });
});

async function pty(): Promise<Pty> {
  const opened = await openPty();
  ptys.push(opened);
  return opened;
}

/** The recording at the resolution of a line: a thousandth of a second and of a degree; time from 0 s. */
function printed(trace: Trace): Sample[] {
  const zeroSeconds = trace[0]?.atSeconds ?? 0;
  return trace.map(({ atSeconds, celsius }) => ({
    atSeconds: Number((atSeconds - zeroSeconds).toFixed(3)),
    celsius: Number(celsius.toFixed(3)),
  }));
}

function fromZero(trace: Trace): Sample[] {
  const zeroSeconds = trace[0]?.atSeconds ?? 0;
  return trace.map(({ atSeconds, celsius }) => ({
    atSeconds: Number((atSeconds - zeroSeconds).toFixed(3)),
    celsius,
  }));
}

/** Says every line when it is due; what is said before the first line end is not believed, so it says one. */
async function replay(line: Pty, trace: Trace): Promise<void> {
  line.write("\r\n");
  const startedAt = performance.now();
  let next = 0;
  while (next < trace.length) {
    const dueSeconds = ((performance.now() - startedAt) / 1000) * SPEED;
    while (next < trace.length && (trace[next]?.atSeconds ?? 0) <= dueSeconds) {
      const { atSeconds, celsius } = trace[next] ?? { atSeconds: 0, celsius: 0 };
      if (!line.write(`s=${atSeconds.toFixed(3)} T=${celsius.toFixed(3)}\r\n`)) break;
      next += 1;
    }
    await pause(10);
  }
}
