import { readlinkSync } from "node:fs";
import { pino } from "pino";
import { afterEach, beforeAll, describe, expect, it } from "vitest";
import { type BenchPort, BenchProcess, benchLine, pastBakes } from "#daemon/bench-process";
import { buildProgram } from "#tests/helpers/built-program";
import { temporaryFolder } from "#tests/helpers/call";

const SETTINGS = { furnaces: 2, speed: 600, seed: 3 };
const folder = temporaryFolder();
const benches: BenchProcess[] = [];

beforeAll(buildProgram, 120_000);
afterEach(async () => {
  for (const bench of benches.splice(0)) await bench.close();
});

function openBench(onPort: (port: BenchPort) => void): BenchProcess {
  const bench = new BenchProcess(SETTINGS, `${folder.path}/links`, pino({ level: "silent" }), onPort);
  benches.push(bench);
  return bench;
}

describe("the bench in a process of its own", () => {
  it("says where each furnace speaks", async () => {
    const ports: BenchPort[] = [];
    await openBench((port) => ports.push(port)).start();
    expect(ports.map(({ furnace }) => furnace)).toEqual(["furnace-1", "furnace-2"]);
    for (const { port } of ports) expect(port).toMatch(/\/links\/furnace-\d$|^tcp:\/\/127\.0\.0\.1:\d+$/);
  });

  it("is started again under the same names when it ends", async () => {
    const ports: BenchPort[] = [];
    let hasFour = () => {};
    const isBack = new Promise<void>((resolve) => {
      hasFour = resolve;
    });
    const bench = openBench((port) => {
      ports.push(port);
      if (ports.length === 4) hasFour();
    });
    await bench.start();
    const before = readlinkSync(ports[0]?.port ?? "");
    process.kill(bench.processId ?? 0, "SIGKILL");
    await isBack;
    expect(ports.slice(2)).toEqual(ports.slice(0, 2));
    expect(readlinkSync(ports[0]?.port ?? "")).toMatch(/^\/dev\/pts\//);
    expect(before).toMatch(/^\/dev\/pts\//);
  });

  it("tells the same earlier bakes for the same seed", async () => {
    const [first, again] = [await pastBakes(3, SETTINGS), await pastBakes(3, SETTINGS)];
    expect(first).toHaveLength(3);
    expect(again).toEqual(first);
    for (const { samples } of first) expect(samples.length).toBeGreaterThan(600);
  });

  it.each([
    '{"furnace":"furnace-1"}',
    '{"furnace":"../x","port":"/dev/x"}',
    '{"ready":false}',
    "ready",
    "[]",
  ])("is not believed when it says %s", (line) => {
    expect(() => benchLine(line)).toThrow(/^The simulated bench[^\n]+$/);
  });
});
