// @vitest-environment happy-dom
import { describe, expect, it, vi } from "vitest";
import { KioskClient, type KioskSocket } from "#kiosk-ui/kiosk-client";
import { initialKioskState, type KioskMessage, nextKioskState, samplesHeld } from "#kiosk-ui/kiosk-state";
import { PROTOCOL_VERSION } from "#shared/protocol";
import { bake, detail, furnace, openBake, samples, snapshot } from "#tests/helpers/kiosk-messages";

/** A socket whose other end is the test. */
class MemorySocket implements KioskSocket {
  readonly listeners = new Map<string, ((...values: unknown[]) => void)[]>();
  readonly asked: { request: { bakeId: number; afterSequence: number }; answer: (value: unknown) => void }[] =
    [];

  on(event: string, listener: (...values: unknown[]) => void) {
    this.listeners.set(event, [...(this.listeners.get(event) ?? []), listener]);
  }
  emit(_event: string, request: unknown, answer: unknown) {
    this.asked.push({ request, answer } as MemorySocket["asked"][number]);
  }
  close() {}
  comes(event: string, ...values: unknown[]) {
    for (const listener of this.listeners.get(event) ?? []) listener(...values);
  }
}

function page(fetched: unknown = detail(), status = 200) {
  const socket = new MemorySocket();
  const messages: KioskMessage[] = [];
  let state = initialKioskState;
  const reload = vi.fn();
  const fetching = vi.fn(async () => new Response(JSON.stringify(fetched), { status }));
  const client = new KioskClient({
    onMessage: (message) => {
      messages.push(message);
      state = nextKioskState(state, message);
    },
    samplesHeld: (bakeId) => samplesHeld(state, bakeId),
    socket,
    fetch: fetching as unknown as typeof fetch,
    nowSeconds: () => 1,
    reload,
  });
  const kinds = () => messages.map(({ kind }) => kind);
  return { client, socket, messages, kinds, reload, fetching, held: () => samplesHeld(state, 7) };
}

describe("the kiosk's client", () => {
  it("asks for the samples that a snapshot says there are", () => {
    const { socket, held } = page();
    socket.comes("snapshot", snapshot({ openBakes: [openBake({ sampleCount: 12 })] }));
    expect(socket.asked.map(({ request }) => request)).toEqual([{ bakeId: 7, afterSequence: -1 }]);
    socket.asked[0]?.answer({ bakeId: 7, fromSequence: 0, samples: samples(0, 12), isLast: true });
    expect(held()).toBe(12);
  });

  it("goes on asking until the last batch", () => {
    const { socket, held } = page();
    socket.comes("snapshot", snapshot({ openBakes: [openBake({ sampleCount: 8 })] }));
    socket.asked[0]?.answer({ bakeId: 7, fromSequence: 0, samples: samples(0, 5), isLast: false });
    socket.asked[1]?.answer({ bakeId: 7, fromSequence: 5, samples: samples(5, 3), isLast: true });
    expect(socket.asked.map(({ request }) => request.afterSequence)).toEqual([-1, 4]);
    expect(held()).toBe(8);
  });

  it("asks once when a volatile batch leaves a hole, and joins what comes", () => {
    const { socket, held } = page();
    socket.comes("snapshot", snapshot({ openBakes: [openBake()] }));
    socket.comes("samples", { bakeId: 7, fromSequence: 0, samples: samples(0, 4) });
    socket.comes("samples", { bakeId: 7, fromSequence: 6, samples: samples(6, 2) });
    socket.comes("samples", { bakeId: 7, fromSequence: 8, samples: samples(8, 2) });
    expect(socket.asked.map(({ request }) => request)).toEqual([{ bakeId: 7, afterSequence: 3 }]);
    socket.asked[0]?.answer({ bakeId: 7, fromSequence: 4, samples: samples(4, 6), isLast: true });
    expect(held()).toBe(10);
  });

  it("asks for the samples of a bake that began before this page heard of it", () => {
    const { socket, held } = page();
    socket.comes("snapshot", snapshot());
    socket.comes("bake", openBake({ sampleCount: 6 }));
    socket.comes("bake", openBake({ sampleCount: 7 }));
    expect(socket.asked.map(({ request }) => request)).toEqual([{ bakeId: 7, afterSequence: -1 }]);
    socket.asked[0]?.answer({ bakeId: 7, fromSequence: 0, samples: samples(0, 7), isLast: true });
    socket.comes("bake", openBake({ sampleCount: 7 }));
    expect(socket.asked).toHaveLength(1);
    expect(held()).toBe(7);
  });

  it("asks anew after a reconnect, though the answer to an earlier asking never came", () => {
    const { socket } = page();
    socket.comes("snapshot", snapshot({ openBakes: [openBake({ sampleCount: 5 })] }));
    socket.comes("disconnect");
    socket.comes("connect");
    socket.comes("snapshot", snapshot({ openBakes: [openBake({ sampleCount: 9 })] }));
    expect(socket.asked).toHaveLength(2);
  });

  it("never doubles its handlers, however often it reconnects", () => {
    const { socket, kinds } = page();
    for (let times = 0; times < 20; times++) {
      socket.comes("connect");
      socket.comes("disconnect");
    }
    expect([...socket.listeners.values()].every((listeners) => listeners.length === 1)).toBe(true);
    expect(kinds().filter((kind) => kind === "connected")).toHaveLength(20);
  });

  it("leaves out a payload that does not fit, and says so on the console", () => {
    const { socket, messages } = page();
    const said = vi.spyOn(console, "error").mockImplementation(() => undefined);
    socket.comes("furnace", { ...furnace(), latest: { sample: { celsius: "hot" } } });
    expect(messages).toEqual([]);
    expect(said.mock.calls[0]?.[0]).toContain("A furnace message does not fit");
    said.mockRestore();
  });

  it("reloads the page when the daemon speaks another version", () => {
    const { socket, messages, reload } = page();
    socket.comes("snapshot", snapshot({ protocolVersion: PROTOCOL_VERSION + 1 }));
    expect(reload).toHaveBeenCalledOnce();
    expect(messages).toEqual([]);
  });

  it("fetches the verdict of a bake that finished", async () => {
    const { socket, kinds, fetching } = page();
    socket.comes("finished", bake({ state: "finished" }));
    await vi.waitFor(() => expect(kinds()).toEqual(["finished", "detail"]));
    expect(fetching).toHaveBeenCalledWith("/api/bakes/7", expect.anything());
  });

  it("notices a bake that finished while the page was away", async () => {
    const { socket, kinds } = page();
    socket.comes("snapshot", snapshot({ openBakes: [openBake()] }));
    socket.comes("snapshot", snapshot());
    await vi.waitFor(() => expect(kinds()).toEqual(["snapshot", "snapshot", "finished", "detail"]));
  });

  it("hands on the daemon's one line when it refuses", async () => {
    const { client } = page({ error: "No plan 9. Choose another." }, 404);
    await expect(client.begin("furnace-1", { planId: 9 })).rejects.toThrow("No plan 9. Choose another.");
  });

  it("refuses an answer that it cannot read", async () => {
    const { client } = page({ bake: "?" });
    await expect(client.bake(7)).rejects.toThrow("The recording program answered /api/bakes/7");
  });

  it("sends a filter as a query", async () => {
    const { client, fetching } = page({ bakes: [], total: 0 });
    await client.bakes({ furnaceId: "furnace-1", grade: "none" });
    expect(fetching).toHaveBeenCalledWith("/api/bakes?furnaceId=furnace-1&grade=none", expect.anything());
  });

  it("listens to a port until it is given up", async () => {
    const answer = { port: "/dev/ttyS0", proposals: [], lines: [], message: "Nothing was heard." };
    const { client, fetching } = page(answer);
    const { signal } = new AbortController();
    expect(await client.listen({ port: "/dev/ttyS0", asks: false }, signal)).toEqual(answer);
    expect(fetching).toHaveBeenCalledWith(
      "/api/listen",
      expect.objectContaining({ method: "POST", signal, body: '{"port":"/dev/ttyS0","asks":false}' }),
    );
  });
});
