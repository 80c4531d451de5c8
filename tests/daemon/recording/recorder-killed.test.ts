import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { afterEach, describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { openStore } from "#daemon/store/store";
import { checkRequestSchema } from "#shared/check";
import { cardSchema, planSchema } from "#shared/plan";
import { bakeFilterSchema } from "#shared/requests";
import { simulateBake } from "#simulators/simulate-bake";
import { furnaceOne, probeS, testStore } from "#tests/daemon/store/store-fixtures";

const PROGRAM = fileURLToPath(new URL("./recorder-process.ts", import.meta.url));
const KILLS_PER_BAKE = 4;
/** Lines on the way at any moment; the next ones wait until these are durable. */
const LINES_AT_ONCE = 150;
/** What the instrument says while nothing listens. */
const LINES_WHILE_DOWN = 8;

let child: ChildProcessWithoutNullStreams | null = null;

afterEach(() => {
  child?.kill("SIGKILL");
});

/** A recorder in its own process, and the lines that it prints, one at a time. */
async function startRecorder(path: string) {
  const started = spawn(process.execPath, ["--conditions=source", "--import", "tsx", PROGRAM, path]);
  child = started;
  let errors = "";
  started.stderr.on("data", (piece) => {
    errors += piece;
  });
  const lines = createInterface({ input: started.stdout })[Symbol.asyncIterator]();
  const next = async (): Promise<string> => {
    const { value, done } = await lines.next();
    if (done) throw new Error(`the recorder ended: ${errors}`);
    if (value.startsWith("problem")) throw new Error(value);
    return value;
  };
  const until = async (isIt: (line: string) => boolean): Promise<string> => {
    for (;;) {
      const line = await next();
      if (isIt(line)) return line;
    }
  };
  await until((line) => line === "ready");
  return {
    until,
    send: (text: string) => new Promise((resolve) => started.stdin.write(text, resolve)),
    kill: async () => {
      started.kill("SIGKILL");
      await once(started, "close");
    },
  };
}

function randomNumbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 16807) % 2147483647;
    return state / 2147483647;
  };
}

describe("a recorder killed at a random moment", () => {
  it.each([1, 2, 3, 4, 5])(
    "loses nothing that was durable, four times in bake %i, and goes on as one",
    {
      timeout: 120_000,
    },
    async (seed) => {
      const { store, path, remove } = await testStore();
      const plan = planSchema.parse(DEMONSTRATION_PLANS[seed % DEMONSTRATION_PLANS.length]);
      await store.plans.create(cardSchema.parse({ plan }), true);
      await store.close();
      const { samples, events } = simulateBake({ plan, seed, noiseKelvin: 0.5, restAfterSeconds: 400 });
      const random = randomNumbers(seed * 7919);
      const kills = Array.from({ length: KILLS_PER_BAKE }, () =>
        Math.floor(30 + random() * (events.coolingStartSeconds + 60)),
      ).sort((a, b) => a - b);

      let recorder = await startRecorder(path);
      await recorder.send("begin\n");
      await recorder.until((line) => line === "ready");
      const durable: number[] = [];
      let longestLossMilliseconds = 0;
      for (let next = 0, isFinished = false; next < samples.length && !isFinished; ) {
        const kill = kills[0] ?? samples.length;
        const piece = samples.slice(next, Math.min(next + LINES_AT_ONCE, Math.max(kill, next + 1)));
        const sentAt = performance.now();
        await recorder.send(piece.map(({ atSeconds, celsius }) => `${atSeconds} ${celsius}\n`).join(""));
        next += piece.length;
        const isDone = (line: string) =>
          line === "finished" || Number(line.split(" ")[1]) === piece.at(-1)?.atSeconds;
        if (next < kill) {
          isFinished = (await recorder.until(isDone)) === "finished";
          // The bake ended somewhere in the last piece; what came after its end belongs to none.
          if (!isFinished) durable.push(...piece.map(({ atSeconds }) => atSeconds));
          continue;
        }
        // Some moment between the lines' arrival and their commit, or after it.
        await new Promise((resolve) => setTimeout(resolve, random() * 400));
        await recorder.kill();
        const killedAt = performance.now();
        recorder = await startRecorder(path);
        const lines = await linesIn(path);
        if (!lines.includes(piece.at(-1)?.atSeconds ?? 0))
          longestLossMilliseconds = Math.max(longestLossMilliseconds, killedAt - sentAt);
        kills.shift();
        next += LINES_WHILE_DOWN;
      }
      await recorder.kill();
      console.info(`bake ${seed}: the longest loss reached back ${longestLossMilliseconds.toFixed(0)} ms`);

      const after = await openStore(path);
      expect(await after.integrityCheck()).toEqual([]);
      const { bakes } = await after.bakes.list(bakeFilterSchema.parse({}));
      expect(bakes).toMatchObject([{ state: "finished", isDemonstration: false }]);
      const kept = await after.bakes.samples(1);
      const interruptions = await after.bakes.interruptions(1);
      await after.close();
      await remove();
      const said = new Map(samples.map(({ atSeconds, celsius }) => [atSeconds, celsius]));
      const keptMoments = new Set(kept.map(({ atSeconds }) => atSeconds));
      expect(kept.filter(({ atSeconds, celsius }) => said.get(atSeconds) !== celsius)).toEqual([]);
      expect(durable.filter((second) => !keptMoments.has(second))).toEqual([]);
      expect(kept.map(({ atSeconds }) => atSeconds)).toEqual([...keptMoments].sort((a, b) => a - b));
      expect(new Set(interruptions.map(({ toldBy }) => toldBy))).toEqual(new Set(["instrument"]));
    },
  );
});

describe("a recorder killed while its thermocouple is open", () => {
  it("keeps what was wrong, and measures on with the probe that the bake began with", async () => {
    const { store, path, remove } = await testStore();
    await store.plans.create(cardSchema.parse({ plan: DEMONSTRATION_PLANS[0] }), true);
    await store.furnaces.save({ ...furnaceOne, probe: probeS });
    const check = await store.checks.add({ furnaceId: "one", thermocoupleType: "S", ...checked });
    await store.checks.accept(check, null);
    const probe = (await store.furnaces.get("one"))?.probe;

    const first = await startRecorder(path);
    await first.send("begin\n");
    await first.until((line) => line === "ready");
    await first.send("0 500\n1 500.5\n2 open\n3 open\n4 open\n5 open\n");
    await expect
      .poll(async () => (await store.bakes.open())[0]?.sensorFaults, { timeout: 10_000 })
      .toMatchObject([{ kind: "open-circuit", readings: 4 }]);
    await first.kill();
    await store.checks.withdraw("one", null);
    const second = await startRecorder(path);
    await second.send("9 open\n10 501\n");
    await second.until((line) => line === "durable 10");
    await second.kill();

    expect(await store.bakes.open()).toMatchObject([
      { probe, sensorFaults: [{ kind: "open-circuit", readings: 5, firstAtSeconds: 2, lastAtSeconds: 9 }] },
    ]);
    expect((await store.bakes.samples(1)).map(({ celsius }) => celsius)).toEqual([503, 503.5, 504]);
    await store.close();
    await remove();
  });
});

/** + 3 K at 897 °C. */
const checked = {
  request: checkRequestSchema.parse({
    kind: "reference",
    points: [{ readingCelsius: 897, referenceCelsius: 900 }],
    referenceExpandedKelvin: 1,
  }),
  result: {
    points: [{ readingCelsius: 897, trueCelsius: 900, differenceKelvin: -3 }],
    worstDifferenceKelvin: -3,
    expandedUncertaintyKelvin: 1,
    coverageFactor: 2,
    limitKelvin: 5,
    verdict: "within" as const,
    correction: [{ readingCelsius: 897, correctionKelvin: 3 }],
    plateau: null,
  },
};

async function linesIn(path: string): Promise<number[]> {
  const store = await openStore(path);
  const samples = await store.bakes.samples(1);
  await store.close();
  return samples.map(({ atSeconds }) => atSeconds);
}
