import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Delayed } from "#simulators/delayed";

beforeEach(() => {
  vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout", "performance"] });
});

afterEach(() => {
  vi.useRealTimers();
});

describe("what is put off", () => {
  it("is done at once when there is no time to pass and nothing waits", () => {
    const done: string[] = [];
    new Delayed().after(0, () => done.push("now"));
    expect(done).toEqual(["now"]);
  });

  it("is done after its time, not before", () => {
    const done: string[] = [];
    new Delayed().after(300, () => done.push("later"));
    vi.advanceTimersByTime(298);
    expect(done).toEqual([]);
    vi.advanceTimersByTime(4);
    expect(done).toEqual(["later"]);
  });

  it("is not overtaken by what comes after it", () => {
    const done: string[] = [];
    const delayed = new Delayed();
    delayed.after(1500, () => done.push("first"));
    vi.advanceTimersByTime(10.4);
    delayed.after(0, () => done.push("second"));
    delayed.after(300, () => done.push("third"));
    expect(done).toEqual([]);
    vi.advanceTimersByTime(1600);
    expect(done).toEqual(["first", "second", "third"]);
    delayed.after(0, () => done.push("fourth"));
    expect(done).toHaveLength(4);
  });

  it("stays undone when it is cleared", () => {
    const done: string[] = [];
    const delayed = new Delayed();
    delayed.after(100, () => done.push("first"));
    delayed.clear();
    vi.advanceTimersByTime(1000);
    expect(done).toEqual([]);
  });
});
