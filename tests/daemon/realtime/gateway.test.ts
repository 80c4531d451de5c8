import { once } from "node:events";
import { createServer, get } from "node:http";
import type { AddressInfo } from "node:net";
import { pino } from "pino";
import { io, type Socket } from "socket.io-client";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { Gateway } from "#daemon/realtime/gateway";
import type { BakeSummary } from "#shared/bake";
import type { FurnaceStatus } from "#shared/furnace";
import type { MaterialRevision } from "#shared/material";
import { type DaemonEvents, type PageEvents, PROTOCOL_VERSION } from "#shared/protocol";
import { sampleBatchSchema } from "#shared/sample";
import { type KioskSnapshot, kioskSnapshotSchema, type OpenBake } from "#shared/status";

const SNAPSHOT: KioskSnapshot = {
  protocolVersion: PROTOCOL_VERSION,
  sentAtEpochMilliseconds: 1,
  problem: null,
  isDemonstration: false,
  settings: { temperatureUnit: "celsius", millimetresPerPixel: 0.1695 },
  furnaces: [],
  openBakes: [],
  plans: [],
  materials: [],
};
const KEPT = Array.from({ length: 12_000 }, (_, atSeconds) => ({ atSeconds, celsius: 500 }));

let gateway: Gateway;
let address = "";
const pages: Socket[] = [];

beforeEach(async () => {
  const server = createServer();
  gateway = new Gateway(server, {
    log: pino({ level: "silent" }),
    snapshot: () => SNAPSHOT,
    samplesAfter: async (bakeId, after, limit) => {
      if (bakeId === 13) throw new Error("a broken disk");
      const kept = bakeId === 1 ? KEPT : [];
      const isLast = after + 1 + limit >= kept.length;
      return { bakeId, fromSequence: after + 1, samples: kept.slice(after + 1, after + 1 + limit), isLast };
    },
  });
  server.listen(0, "127.0.0.1");
  await once(server, "listening");
  address = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
});

afterEach(async () => {
  for (const page of pages.splice(0)) page.close();
  await gateway.close();
});

/** A page as the kiosk's own: node sends an Origin only when it is told to. */
function page(headers: Record<string, string> = { origin: address }): Socket<DaemonEvents, PageEvents> {
  const socket = io(address, {
    transports: ["websocket"],
    extraHeaders: headers,
    reconnection: false,
    forceNew: true,
  });
  pages.push(socket);
  return socket;
}

/** A page that has had its snapshot. */
async function informedPage() {
  const socket = page();
  const [snapshot] = await heard(socket, "snapshot");
  return { socket, snapshot };
}

function heard(socket: Socket, event: string): Promise<unknown[]> {
  return new Promise((resolve) => socket.once(event, (...values: unknown[]) => resolve(values)));
}

describe("the gateway", () => {
  it("tells a page everything when it connects", async () => {
    const { snapshot } = await informedPage();
    expect(kioskSnapshotSchema.parse(snapshot)).toEqual(SNAPSHOT);
  });

  it("passes changes on to every page", async () => {
    const pagesNow = [await informedPage(), await informedPage()];
    const toldAll = (event: string) => Promise.all(pagesNow.map(({ socket }) => heard(socket, event)));
    const furnace = { furnace: { id: "furnace-1" } } as FurnaceStatus;
    const open = { bake: { id: 1 } } as OpenBake;
    const batch = { bakeId: 1, fromSequence: 0, samples: KEPT.slice(0, 2) };
    const finished = { id: 2 } as BakeSummary;
    const material = { materialId: 1 } as MaterialRevision;
    const changes: [string, unknown, () => void][] = [
      ["furnace", furnace, () => gateway.furnaceChanged(furnace)],
      ["bake", open, () => gateway.bakeChanged(open)],
      ["samples", batch, () => gateway.samplesAdded(batch)],
      ["finished", finished, () => gateway.finished(finished)],
      ["plans", [], () => gateway.plansChanged([])],
      ["materials", [material], () => gateway.materialsChanged([material])],
    ];
    for (const [event, value, change] of changes) {
      const told = toldAll(event);
      change();
      expect(await told).toEqual([[value], [value]]);
    }
  });

  it("tells of two bakes that have samples at the same moment", async () => {
    const { socket } = await informedPage();
    const told = new Promise<number[]>((resolve) => {
      const bakes: number[] = [];
      socket.on("samples", ({ bakeId }) => {
        if (bakes.push(bakeId) === 6) resolve(bakes);
      });
    });
    for (const fromSequence of [0, 2, 4]) {
      const samples = KEPT.slice(fromSequence, fromSequence + 2);
      const both = new Promise<void>((resolve) => {
        let count = 0;
        socket.on("samples", () => ++count === 2 && resolve());
      });
      gateway.samplesAdded({ bakeId: 1, fromSequence, samples });
      gateway.samplesAdded({ bakeId: 2, fromSequence, samples });
      await both;
    }
    expect(await told).toEqual([1, 2, 1, 2, 1, 2]);
  });

  it("says nothing more of a bake once it is finished", async () => {
    const { socket } = await informedPage();
    const events: unknown[] = [];
    const open = (id: number, lengthSeconds: number) => ({ bake: { id, lengthSeconds } }) as OpenBake;
    const isOver = new Promise<void>((resolve) => {
      socket.onAny((event, value) => {
        events.push([event, (value.bake ?? value).id, (value.bake ?? value).lengthSeconds]);
        if (events.length === 4) resolve();
      });
    });
    gateway.bakeChanged(open(1, 10));
    gateway.bakeChanged(open(1, 20));
    gateway.finished({ id: 1, lengthSeconds: 20 } as BakeSummary);
    gateway.bakeChanged(open(2, 1));
    gateway.bakeChanged(open(2, 2)); // told when the pauses of both bakes are over
    await isOver;
    expect(events).toEqual([
      ["bake", 1, 10],
      ["finished", 1, 20],
      ["bake", 2, 1],
      ["bake", 2, 2],
    ]);
  });

  it("answers what a page missed, 5,000 at most at once", async () => {
    const { socket } = await informedPage();
    const answers: { length: number; isLast: boolean }[] = [];
    let afterSequence = -1;
    for (let isLast = false; !isLast; ) {
      const answer = await socket.emitWithAck("samples-after", { bakeId: 1, afterSequence });
      expect(sampleBatchSchema.parse(answer).fromSequence).toBe(afterSequence + 1);
      afterSequence += answer.samples.length;
      isLast = answer.isLast;
      answers.push({ length: answer.samples.length, isLast });
    }
    expect(answers).toEqual([
      { length: 5_000, isLast: false },
      { length: 5_000, isLast: false },
      { length: 2_000, isLast: true },
    ]);
  });

  it.each([
    { bakeId: 99, what: "an unknown bake" },
    { bakeId: 13, what: "a broken store" },
  ])("has no samples of $what", async ({ bakeId }) => {
    const { socket } = await informedPage();
    expect(await socket.emitWithAck("samples-after", { bakeId, afterSequence: 4 })).toEqual({
      bakeId,
      fromSequence: 5,
      samples: [],
      isLast: true,
    });
  });

  it("leaves what it cannot understand without an answer, and goes on", async () => {
    const { socket } = await informedPage();
    const answered: unknown[] = [];
    for (const bad of [
      undefined,
      null,
      "x",
      {},
      { bakeId: "1", afterSequence: -1 },
      { bakeId: 1, afterSequence: -2 },
      { bakeId: 1.5, afterSequence: 0 },
    ])
      socket.emit("samples-after", bad as never, (answer) => answered.push(answer));
    socket.emit("samples-after", { bakeId: 1, afterSequence: -1 }, "no function" as never);
    (socket as Socket).emit("shutdown");
    const { samples } = await socket.emitWithAck("samples-after", { bakeId: 1, afterSequence: 11_998 });
    expect(samples).toHaveLength(1);
    expect(answered).toEqual([]);
  });

  it("lets a page go that asks faster than it can be answered", async () => {
    const { socket } = await informedPage();
    const gone = heard(socket, "disconnect");
    for (let turn = 0; turn < 200; turn++)
      socket.emit("samples-after", { bakeId: 1, afterSequence: -1 }, () => {});
    expect(await gone).toEqual(["io server disconnect", undefined]);
    await informedPage();
  });

  it("lets a page go that sends more than a question", async () => {
    const { socket } = await informedPage();
    const gone = heard(socket, "disconnect");
    socket.emit(
      "samples-after",
      { bakeId: 1, afterSequence: -1, more: "x".repeat(100_000) } as never,
      () => {},
    );
    await gone;
    await informedPage();
  });

  it.each([{ origin: "http://evil.example" }, { origin: "null" }, { origin: "http://127.0.0.1:1" }])(
    "lets no page in with %o",
    async (headers) => {
      const socket = page(headers);
      const [error] = await heard(socket, "connect_error");
      expect(error).toBeInstanceOf(Error);
      expect(socket.connected).toBe(false);
    },
  );

  it.each(["evil.example", "127.0.0.1.evil.example:80"])("lets no page in by the name %s", async (host) => {
    const path = "/socket.io/?EIO=4&transport=polling";
    const status = (name: string) =>
      new Promise((resolve, reject) => {
        const call = get(`${address}${path}`, { headers: { host: name } }, (response) => {
          response.resume();
          resolve(response.statusCode);
        });
        call.on("error", reject);
      });
    expect([await status(host), await status("localhost")]).toEqual([403, 200]);
  });
});
