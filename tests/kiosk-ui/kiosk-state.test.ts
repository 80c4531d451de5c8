import { describe, expect, it } from "vitest";
import {
  finishedBakeOf,
  initialKioskState,
  type KioskMessage,
  type KioskState,
  nextKioskState,
  openBakeOf,
  readingAgeSeconds,
  samplesHeld,
} from "#kiosk-ui/kiosk-state";
import { bake, detail, furnace, openBake, samples, snapshot } from "#tests/helpers/kiosk-messages";

const stateAfter = (...messages: KioskMessage[]): KioskState =>
  messages.reduce(nextKioskState, initialKioskState);
const first = (state: KioskState) => {
  const [found] = state.furnaces;
  if (!found) throw new Error("no furnace in this state");
  return found;
};

describe("the kiosk's state", () => {
  it("starts without a word from the daemon", () => {
    expect(initialKioskState).toMatchObject({ isLoaded: false, connection: { kind: "connecting" } });
  });

  it("holds everything that a snapshot brings", () => {
    const state = stateAfter({
      kind: "snapshot",
      snapshot: snapshot({ openBakes: [openBake()] }),
      atSeconds: 5,
    });
    expect(state).toMatchObject({ isLoaded: true, isDemonstration: true, connection: { kind: "connected" } });
    expect(openBakeOf(state, "furnace-1")?.bake.id).toBe(7);
  });

  it("never edits the state before", () => {
    const before = stateAfter({ kind: "snapshot", snapshot: snapshot(), atSeconds: 5 });
    const copy = structuredClone(before);
    nextKioskState(before, { kind: "bake", bake: openBake(), atSeconds: 6 });
    expect(before).toEqual(copy);
  });

  it("ages a reading by the page's own clock, whatever the daemon's clock says", () => {
    const status = furnace({ receivedAt: 400_000 });
    const heard = stateAfter(
      { kind: "snapshot", snapshot: snapshot(), atSeconds: 5 },
      { kind: "furnace", status, atSeconds: 10 },
      { kind: "tick", atSeconds: 14 },
    );
    expect(readingAgeSeconds(heard, first(heard))).toBe(4);
  });

  it("does not call the same reading new when only the link changed", () => {
    const status = furnace({ receivedAt: 1_000_000 });
    const state = stateAfter(
      { kind: "furnace", status, atSeconds: 10 },
      { kind: "furnace", status: { ...status, link: { ...status.link, kind: "silent" } }, atSeconds: 18 },
    );
    expect(readingAgeSeconds(state, first(state))).toBe(8);
  });

  it("counts the age that a reading already has in the snapshot", () => {
    const old = snapshot({ furnaces: [furnace({ receivedAt: 990_000 })], sentAt: 1_000_000 });
    const state = stateAfter({ kind: "snapshot", snapshot: old, atSeconds: 100 });
    expect(readingAgeSeconds(state, first(state))).toBe(10);
  });

  it("keeps the first moment of a lost connection", () => {
    const state = stateAfter(
      { kind: "lost", atSeconds: 10, atEpochMilliseconds: 1000 },
      { kind: "lost", atSeconds: 20, atEpochMilliseconds: 2000 },
    );
    expect(state.connection).toEqual({ kind: "lost", sinceSeconds: 10, sinceEpochMilliseconds: 1000 });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { batch: "the next ones",          from: 10, count: 5, held: 15 },
    { batch: "some that overlap",      from: 6,  count: 9, held: 15 },
    { batch: "only known ones",        from: 2,  count: 4, held: 10 },
    { batch: "some that leave a hole", from: 12, count: 5, held: 10 },
  ])("holds $held samples after 10 and then $batch", ({ from, count, held }) => {
    const state = stateAfter(
      { kind: "bake", bake: openBake(), atSeconds: 1 },
      { kind: "samples", batch: { bakeId: 7, fromSequence: 0, samples: samples(0, 10) }, atSeconds: 1 },
      { kind: "samples", batch: { bakeId: 7, fromSequence: from, samples: samples(from, count) }, atSeconds: 2 },
    );
    expect(samplesHeld(state, 7)).toBe(held);
    expect(openBakeOf(state, "furnace-1")?.samples.map(({ atSeconds }) => atSeconds)).toEqual(
      Array.from({ length: held }, (_, sequence) => sequence),
    );
  });

  it("keeps samples over a reconnect, cut to what the daemon still has", () => {
    const state = stateAfter(
      { kind: "bake", bake: openBake(), atSeconds: 1 },
      { kind: "samples", batch: { bakeId: 7, fromSequence: 0, samples: samples(0, 10) }, atSeconds: 1 },
      { kind: "snapshot", snapshot: snapshot({ openBakes: [openBake({ sampleCount: 8 })] }), atSeconds: 9 },
    );
    expect(samplesHeld(state, 7)).toBe(8);
  });

  it("keeps a finished bake with its samples until it is looked at", () => {
    const finished = stateAfter(
      { kind: "bake", bake: openBake(), atSeconds: 1 },
      { kind: "samples", batch: { bakeId: 7, fromSequence: 0, samples: samples(0, 3) }, atSeconds: 1 },
      { kind: "finished", bake: bake({ state: "finished" }), atSeconds: 2 },
      { kind: "detail", detail: detail(), samples: null, atSeconds: 3 },
    );
    expect(openBakeOf(finished, "furnace-1")).toBeNull();
    expect(finishedBakeOf(finished, "furnace-1")?.samples).toHaveLength(3);
    expect(finishedBakeOf(finished, "furnace-1")?.detail).not.toBeNull();
    const looked = nextKioskState(finished, { kind: "looked-at", bakeId: 7, atSeconds: 4 });
    expect(finishedBakeOf(looked, "furnace-1")).toBeNull();
  });

  it("keeps the window that the layers of a finished bake had while it ran", () => {
    const window = { lowRatio: 0.9, highRatio: 1.12, lowLayer: "glaze", highLayer: "build-up" };
    const finished = stateAfter(
      { kind: "snapshot", snapshot: snapshot({ openBakes: [{ ...openBake(), window }] }), atSeconds: 1 },
      { kind: "finished", bake: bake({ state: "finished" }), atSeconds: 2 },
      { kind: "detail", detail: detail(), samples: null, atSeconds: 3 },
    );
    expect(finishedBakeOf(finished, "furnace-1")?.window).toEqual(window);
  });

  it("lets a new bake on the same furnace take the place of a finished one", () => {
    const state = stateAfter(
      { kind: "finished", bake: bake({ state: "finished" }), atSeconds: 2 },
      { kind: "bake", bake: openBake({ id: 8 }), atSeconds: 3 },
    );
    expect(finishedBakeOf(state, "furnace-1")).toBeNull();
  });

  it("keeps trouble with saving in sight until it is mended", () => {
    const troubled = stateAfter(
      { kind: "snapshot", snapshot: snapshot(), atSeconds: 1 },
      { kind: "problem", problem: "The disk is full. Free some space.", atSeconds: 2 },
    );
    expect(troubled.problem).toBe("The disk is full. Free some space.");
    expect(nextKioskState(troubled, { kind: "problem", problem: null, atSeconds: 3 }).problem).toBeNull();
  });

  it("shows a refusal until it is read", () => {
    const refused = stateAfter({ kind: "refused", message: "No plan 4.", atSeconds: 1 });
    expect(refused.refusal).toBe("No plan 4.");
    expect(nextKioskState(refused, { kind: "refusal-read", atSeconds: 2 }).refusal).toBeNull();
  });
});
