import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { JobLookUp, TYPING_PAUSE_MILLISECONDS } from "#kiosk-ui/screens/begin/job-look-up";
import { fakeBeginDesk, MADE_UP_JOB } from "#tests/helpers/made-up-jobs";

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe("the look-up of a job", () => {
  it("waits for a pause in the typing, and asks once", async () => {
    const desk = fakeBeginDesk();
    const lookUp = new JobLookUp(() => {});
    for (const typed of ["4", "44", "441", "4411"]) lookUp.typed(desk, typed, null);
    await vi.advanceTimersByTimeAsync(TYPING_PAUSE_MILLISECONDS - 1);
    expect(desk.asked).toEqual([]);
    await vi.advanceTimersByTimeAsync(1);
    expect(desk.asked).toEqual(["bakes of 4411", "/api/jobs/4411"]);
    expect(lookUp.state).toMatchObject({ kind: "found", history: { bakeCount: 1 } });
  });

  it("forgets what it knew as soon as the number changes", async () => {
    const lookUp = new JobLookUp(() => {});
    await lookUp.lookUp(fakeBeginDesk(), MADE_UP_JOB, null);
    lookUp.typed(fakeBeginDesk(), "44", null);
    expect(lookUp.state).toEqual({ kind: "none" });
    lookUp.end();
  });

  it("leaves an answer aside that comes when another number stands", async () => {
    const desk = fakeBeginDesk();
    const letGo = desk.hold();
    const lookUp = new JobLookUp(() => {});
    const first = lookUp.lookUp(desk, MADE_UP_JOB, null);
    expect(lookUp.state).toEqual({ kind: "looking", jobNumber: MADE_UP_JOB });
    const second = lookUp.lookUp(desk, "new", null);
    letGo();
    await Promise.all([first, second]);
    expect(lookUp.state).toMatchObject({ kind: "found", jobNumber: "new", history: { bakeCount: 0 } });
  });

  it("asks nothing for what is no job number, nor twice for the same", async () => {
    const desk = fakeBeginDesk();
    const lookUp = new JobLookUp(() => {});
    await lookUp.lookUp(desk, "<4411>", null);
    await lookUp.lookUp(desk, "", null);
    expect(desk.asked).toEqual([]);
    await lookUp.lookUp(desk, MADE_UP_JOB, null);
    await lookUp.lookUp(desk, ` ${MADE_UP_JOB} `, null);
    expect(desk.asked).toEqual(["bakes of 4411", "/api/jobs/4411"]);
  });

  it("keeps the daemon's line where it refuses, and asks again", async () => {
    const desk = fakeBeginDesk();
    desk.refusal = "The recording program does not answer.";
    const lookUp = new JobLookUp(() => {});
    await lookUp.lookUp(desk, MADE_UP_JOB, null);
    expect(lookUp.state).toMatchObject({ kind: "failed", message: desk.refusal });
    desk.refusal = null;
    await lookUp.lookUp(desk, MADE_UP_JOB, null);
    expect(lookUp.state.kind).toBe("found");
  });
});
