import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Outbox } from "#daemon/realtime/outbox";
import { SampleBatches } from "#daemon/realtime/sample-batches";
import type { SampleBatch } from "#shared/sample";

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe("an outbox", () => {
  function outbox() {
    const sent: string[] = [];
    return { sent, box: new Outbox<string, string>(250, (value) => sent.push(value)) };
  }

  it("sends at once after a rest, then the newest at the end of each pause", () => {
    const { sent, box } = outbox();
    for (let moment = 0; moment < 1000; moment += 10) {
      box.put("a", `a${moment}`);
      vi.advanceTimersByTime(10);
    }
    expect(sent).toEqual(["a0", "a240", "a490", "a740", "a990"]);
  });

  it("paces each key by itself, and never loses the newest", () => {
    const { sent, box } = outbox();
    box.put("a", "a1");
    box.put("b", "b1");
    box.put("b", "b2");
    vi.advanceTimersByTime(250);
    expect(sent).toEqual(["a1", "b1", "b2"]);
  });

  it("sends nothing that was dropped or after closing", () => {
    const { sent, box } = outbox();
    for (const key of ["a", "b"]) for (const turn of [1, 2]) box.put(key, `${key}${turn}`);
    box.drop("a");
    vi.advanceTimersByTime(250);
    box.put("b", "b3");
    box.close();
    vi.advanceTimersByTime(1000);
    expect(sent).toEqual(["a1", "b1", "b2"]);
  });
});

describe("sample batches", () => {
  const samplesFrom = (fromSequence: number, count: number, bakeId = 1): SampleBatch => ({
    bakeId,
    fromSequence,
    samples: Array.from({ length: count }, (_, index) => ({ atSeconds: fromSequence + index, celsius: 500 })),
  });

  it("go out together, one bake after the other", () => {
    const sent: SampleBatch[] = [];
    const batches = new SampleBatches(100, (batch) => sent.push(batch));
    batches.add(samplesFrom(0, 3));
    batches.add(samplesFrom(7, 1, 2));
    batches.add(samplesFrom(3, 2));
    expect(sent).toEqual([]);
    vi.advanceTimersByTime(100);
    expect(sent).toEqual([samplesFrom(0, 5)]);
    vi.advanceTimersByTime(20);
    expect(sent).toEqual([samplesFrom(0, 5), samplesFrom(7, 1, 2)]);
  });

  it("are kept apart where numbers are missing", () => {
    const sent: SampleBatch[] = [];
    const batches = new SampleBatches(100, (batch) => sent.push(batch));
    batches.add(samplesFrom(0, 3));
    batches.add(samplesFrom(5, 2));
    batches.flush(1);
    expect(sent).toEqual([samplesFrom(0, 3), samplesFrom(5, 2)]);
    vi.advanceTimersByTime(1000);
    expect(sent).toHaveLength(2);
  });
});
