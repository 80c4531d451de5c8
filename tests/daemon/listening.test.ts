import { mkdtemp, rm, symlink } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { systemClock } from "#daemon/clock";
import { FurnaceLines, type FurnaceLink } from "#daemon/furnace-lines";
import type { HeardPort } from "#daemon/link/hear-port";
import type { Channels } from "#daemon/link/reading";
import { Listening } from "#daemon/listening";
import { WELL } from "#daemon/measuring/probe-health";
import { listenAnswerSchema, listenRequestSchema } from "#shared/listening";
import { FURNACE } from "#tests/helpers/kiosk-house";

const NOTHING: HeardPort = {
  proposals: [],
  hearings: [],
  best: null,
  answers: ["unit 3"],
  message: "Nothing heard",
  isSerial: true,
};

/** Furnaces whose links do nothing but say what they are told to; the order of what happens to the port. */
function lab(kind: "listening" | "waiting", openBakeId: number | null = null, format = "number:celsius") {
  const events: string[] = [];
  let told: ((celsius: number, beside?: Channels) => void) | null = null;
  const lines = new FurnaceLines({
    clock: systemClock,
    onReading: (reading) => reading,
    onChange: () => {},
    onTrouble: () => {},
    openBakeId: () => openBakeId,
    probeHealth: () => WELL,
    linkFor: ({ address, onReading, furnaceId }): FurnaceLink => {
      told = (celsius, beside) =>
        onReading({ ...beside, furnaceId, celsius, receivedAtSeconds: 1, receivedAtEpochMilliseconds: 1 });
      return {
        start: () => events.push(`open ${address}`),
        close: async () => {
          events.push(`close ${address}`);
        },
        status: {
          kind,
          sinceEpochMilliseconds: 0,
          message: null,
          acceptedLines: 8,
          refusedLines: 1,
          overlongLines: 0,
          unanswered: 0,
          lastRefusedLine: null,
          format,
        },
      };
    },
  });
  let finish = () => {};
  const listening = new Listening(lines, systemClock, async (port) => {
    events.push(`hear ${port}`);
    await new Promise<void>((resolve) => {
      finish = resolve;
    });
    return NOTHING;
  });
  const listen = (port: string) =>
    listening.listen(listenRequestSchema.parse({ port }), new AbortController().signal);
  return {
    lines,
    events,
    listen,
    finish: () => finish(),
    tell: (celsius: number, beside?: Channels) => told?.(celsius, beside),
  };
}

let folder = "";
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "bakeside-listening-"));
});
afterEach(() => rm(folder, { recursive: true }));

/** Lets what was begun come as far as it can: real file names are looked up on the way. */
async function until(isSo: () => boolean): Promise<void> {
  while (!isSo()) await new Promise((resolve) => setImmediate(resolve));
}

const asIs = { ...FURNACE, port: "/dev/ttyUSB0", baudRate: 19_200, framing: "7E1" as const };

describe("listening for somebody at the screen", () => {
  it("answers with what was heard, who answered among it", async () => {
    const { listen, events, finish } = lab("waiting");
    const answer = listen("/dev/ttyUSB1");
    await until(() => events.length === 1);
    finish();
    expect(listenAnswerSchema.parse(await answer)).toEqual({
      port: "/dev/ttyUSB1",
      proposals: [],
      lines: ["unit 3"],
      message: "Nothing heard",
    });
  });

  it("listens to one port at a time", async () => {
    const { listen, events, finish } = lab("waiting");
    const first = listen("/dev/ttyUSB1");
    await expect(listen("/dev/ttyUSB2")).rejects.toMatchObject({
      code: "conflict",
      message:
        "Somebody is listening to /dev/ttyUSB1 already: wait until that is over, half a minute at most.",
    });
    await until(() => events.length === 1);
    finish();
    await first;
    const second = listen("/dev/ttyUSB2");
    await until(() => events.length === 2);
    finish();
    await second;
  });

  it("waits until a port that was given up is closed", async () => {
    const { listen, events, finish } = lab("waiting");
    const givenUp = listen("/dev/ttyUSB1");
    await until(() => events.length === 1);
    const next = listen("/dev/ttyUSB1");
    finish();
    await givenUp;
    await until(() => events.length === 2);
    finish();
    expect(await next).toMatchObject({ port: "/dev/ttyUSB1", message: "Nothing heard" });
  });

  it("answers from the line of a furnace that reads the port, by whichever name", async () => {
    const { lines, listen, events, tell } = lab("listening", 7);
    const name = join(folder, "by-id");
    await symlink("/dev/null", name);
    await lines.set({ ...asIs, port: "/dev/null" });
    tell(512.4);
    expect(listenAnswerSchema.parse(await listen(name))).toEqual({
      port: "/dev/null",
      proposals: [
        {
          format: "number:celsius",
          baudRate: 19_200,
          framing: "7E1",
          isPolled: false,
          fits: 8,
          heard: 9,
          preview: { celsius: 512.4 },
        },
      ],
      lines: [],
      message:
        "Furnace 1 uses this port and reads it so. Another furnace needs another port; to listen anew, choose No line for Furnace 1 first.",
    });
    expect(events).toEqual(["open /dev/null"]);
  });

  it("says of a bus how another unit of it is connected", async () => {
    const format = "modbus:unit=1;input 0 int16 *0.1=celsius";
    const { lines, listen, tell } = lab("listening", null, format);
    await lines.set({ ...asIs, format });
    tell(512.4);
    expect(await listen(asIs.port)).toMatchObject({
      proposals: [{ format, isPolled: true, preview: { celsius: 512.4 } }],
      message: expect.stringContaining("type this format with that unit's number"),
    });
  });

  it("shows the millivolts of a line that gives no temperature", async () => {
    const { lines, listen, tell } = lab("listening", null, "pairs:E=millivolts,CJ=cold-celsius");
    await lines.set(asIs);
    tell(512.4, { millivolts: 4.1234, coldJunctionCelsius: 24.1 });
    const { proposals } = listenAnswerSchema.parse(await listen(asIs.port));
    expect(proposals[0]?.preview).toEqual({ millivolts: 4.1234, coldJunctionCelsius: 24.1 });
  });

  it("takes a port from a furnace that cannot read it, and gives it back as it is described by then", async () => {
    const { lines, listen, events, finish } = lab("waiting");
    await lines.set(asIs);
    const answer = listen(asIs.port);
    await until(() => events.length === 3);
    lines.describe({ ...asIs, name: "By the window" });
    finish();
    await answer;
    expect(events).toEqual([
      "open /dev/ttyUSB0",
      "close /dev/ttyUSB0",
      "hear /dev/ttyUSB0",
      "close /dev/ttyUSB0",
      "open /dev/ttyUSB0",
    ]);
    expect(lines.furnace(asIs.id)).toEqual({ ...asIs, name: "By the window" });
  });

  it("leaves a furnace alone that was given another port in the meantime", async () => {
    const { lines, listen, events, finish } = lab("waiting");
    await lines.set(asIs);
    const answer = listen(asIs.port);
    await until(() => events.length === 3);
    await lines.set({ ...asIs, port: "/dev/ttyUSB5" });
    finish();
    await answer;
    expect(events.slice(3)).toEqual(["close /dev/ttyUSB0", "open /dev/ttyUSB5"]);
  });

  it("refuses a port on which a bake is open that is not read now", async () => {
    const { lines, listen, events } = lab("waiting", 7);
    await lines.set(asIs);
    await expect(listen(asIs.port)).rejects.toMatchObject({
      code: "conflict",
      message: "Furnace 1 uses /dev/ttyUSB0, and bake 7 is open on it. Listen when the bake is over.",
    });
    expect(events).toEqual(["open /dev/ttyUSB0"]);
  });
});
