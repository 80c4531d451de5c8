/**
 * A recorder in a process of its own, to be killed: node … recorder-process.ts <database>
 * Reads `second celsius` lines, `second open` for a thermocouple that is open, and `begin`, which begins a bake by hand; prints `durable <second of the bake>`
 * when samples are in the store, `finished` when a bake is closed, `ready` when it may be spoken to.
 */
import { createInterface } from "node:readline";
import { comparison } from "#core/compare/comparison";
import { systemClock } from "#daemon/clock";
import { Recorder } from "#daemon/recording/recorder";
import { openStore } from "#daemon/store/store";

const store = await openStore(process.argv[2] ?? "");
const furnaces = new Map((await store.furnaces.list()).map((furnace) => [furnace.id, furnace]));
const say = (line: string) => process.stdout.write(`${line}\n`);
const recorder = new Recorder({
  store,
  clock: systemClock,
  compare: comparison,
  activationEnergyJoulesPerMole: 325_000,
  probeOf: (furnaceId) => furnaces.get(furnaceId)?.probe,
  onOpenBake: () => undefined,
  onSamples: ({ samples }) => say(`durable ${samples.at(-1)?.atSeconds}`),
  onFinished: () => say("finished"),
  onProblem: (problem) => say(`problem ${problem}`),
  onMended: () => {},
});
await recorder.resume();
say("ready");
for await (const line of createInterface({ input: process.stdin })) {
  if (line === "begin") {
    await recorder.begin("one", { planId: 1 });
    say("ready");
    continue;
  }
  const [second, said] = line.split(" ");
  recorder.take({
    furnaceId: "one",
    instrumentSeconds: Number(second),
    ...(said === "open" ? { sensorWord: "open-circuit" } : { celsius: Number(said) }),
    receivedAtSeconds: systemClock.monotonicSeconds(),
    receivedAtEpochMilliseconds: systemClock.epochMilliseconds(),
  });
}
