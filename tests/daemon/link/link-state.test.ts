import { fc, it as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import {
  firstLinkState,
  type LinkEvent,
  type LinkState,
  LONGEST_WAIT_SECONDS,
  linkKind,
  nextLinkState,
  SHORTEST_WAIT_SECONDS,
  waitSeconds,
} from "#daemon/link/link-state";

const limits = { silenceSeconds: 10 };

/** The state after events written as `seconds:kind`, such as `0:opened 1:line 2:garbled`. */
function stateAfter(events: string, from: LinkState = firstLinkState(0)): LinkState {
  return events.split(" ").reduce((state, text) => nextLinkState(state, event(text), limits), from);
}

function event(text: string): LinkEvent {
  const [seconds, kind] = text.split(":");
  const atSeconds = Number(seconds);
  if (kind === "line" || kind === "garbled") return { kind: "line", atSeconds, isRead: kind === "line" };
  return { kind: kind as Exclude<LinkEvent["kind"], "line">, atSeconds };
}

const anyEvents = fc.array(
  fc.record({
    kind: fc.constantFrom("opened", "lost", "appeared", "tick", "line", "garbled"),
    afterSeconds: fc.double({ min: 0, max: 30, noNaN: true }),
  }),
  { maxLength: 60 },
);

/** All states on the way through such events. */
function statesAfter(
  events: readonly { kind: string; afterSeconds: number }[],
): { state: LinkState; atSeconds: number }[] {
  let atSeconds = 0;
  let state = firstLinkState(0);
  return events.map(({ kind, afterSeconds }) => {
    atSeconds += afterSeconds;
    state = nextLinkState(state, event(`${atSeconds}:${kind}`), limits);
    return { state, atSeconds };
  });
}

describe("link state", () => {
  it.each([
    { events: "0:opened", shown: "listening" },
    { events: "0:opened 9:tick", shown: "listening" },
    { events: "0:opened 10:tick", shown: "silent" },
    { events: "0:opened 10:tick 10.25:tick", shown: "silent" },
    { events: "0:opened 10:tick 10.25:tick 11:opened", shown: "silent" },
    { events: "0:opened 10:tick 10.25:tick 11:opened 12:garbled", shown: "listening" },
    { events: "0:opened 5:line 14:tick", shown: "listening" },
    { events: "0:opened 5:line 15:tick", shown: "silent" },
    { events: "0:opened 3:lost", shown: "waiting" },
    { events: "0:opened 3:lost 3.25:tick", shown: "waiting" },
    { events: "0:opened 3:lost 3.25:tick 3.3:opened", shown: "listening" },
    { events: "1:lost", shown: "waiting" },
    { events: "15:tick", shown: "waiting" },
    { events: "0:opened 3:ended", shown: "absent" },
    { events: "0:opened 3:ended 4:lost 5:appeared 99:tick", shown: "absent" },
  ])("is shown as $shown after $events", ({ events, shown }) => {
    expect(linkKind(stateAfter(events))).toBe(shown);
  });

  it("opens a port that appears again at once", () => {
    expect(stateAfter("1:lost 1.1:appeared").kind).toBe("opening");
  });

  it("waits longer after each failure, up to 5 s", () => {
    const waits = [1, 2, 3, 4, 5, 6, 7, 100].map(waitSeconds);
    expect(waits).toEqual([0.25, 0.5, 1, 2, 4, 5, 5, 5]);
  });

  it("keeps waiting longer when a port opens but says nothing that can be read", () => {
    expect(stateAfter("0:opened 1:garbled 2:lost 3:tick 3:opened 3.1:lost")).toMatchObject({
      failures: 2,
      retryAtSeconds: 3.6,
    });
  });

  it("begins the waits anew after a good line", () => {
    const failing = stateAfter("1:lost 2:tick 2:lost 4:tick 4:lost 8:tick 8:opened");
    expect(failing.failures).toBe(3);
    expect(stateAfter("9:line 9.5:lost", failing)).toMatchObject({ failures: 1, retryAtSeconds: 9.75 });
  });

  it("learns that an instrument speaks every 15 s, and then does not take it for silent", () => {
    const patient = (events: string, from?: LinkState) =>
      events
        .split(" ")
        .reduce(
          (state, text) => nextLinkState(state, event(text), { silenceSeconds: 20 }),
          from ?? firstLinkState(0),
        );
    const learned = patient("0:opened 5:line 20:line");
    expect(stateAfter("34:tick", learned).kind).toBe("listening");
    expect(stateAfter("65:tick", learned).kind).toBe("waiting");
  });

  it("never takes a recording for silent", () => {
    const state = nextLinkState(stateAfter("0:opened"), event("99999:tick"), {
      silenceSeconds: Number.POSITIVE_INFINITY,
    });
    expect(state.kind).toBe("listening");
  });

  it("is the same object when nothing changed", () => {
    const listening = stateAfter("0:opened 1:line");
    expect(stateAfter("2:tick", listening)).toBe(listening);
    expect(stateAfter("2:appeared", listening)).toBe(listening);
  });

  property.prop([anyEvents])(
    "never waits less than 0.25 s or more than 5 s before it tries again",
    (events) => {
      const states = statesAfter(events);
      for (const [index, { state, atSeconds }] of states.entries()) {
        if (state.kind !== "waiting" || state === states[index - 1]?.state) continue;
        expect(state.retryAtSeconds - atSeconds).toBeGreaterThanOrEqual(SHORTEST_WAIT_SECONDS - 1e-9);
        expect(state.retryAtSeconds - atSeconds).toBeLessThanOrEqual(LONGEST_WAIT_SECONDS + 1e-9);
      }
    },
  );

  property.prop([anyEvents])("always comes back to opening, whatever happened before", (events) => {
    const { state, atSeconds } = statesAfter(events).at(-1) ?? { state: firstLinkState(0), atSeconds: 0 };
    let current = state;
    const kinds = new Set<string>();
    for (let step = 1; step <= 100; step++) {
      current = nextLinkState(current, event(`${atSeconds + step}:tick`), limits);
      kinds.add(current.kind);
    }
    expect(kinds).toContain("opening");
    expect(kinds).toContain("waiting");
  });
});
