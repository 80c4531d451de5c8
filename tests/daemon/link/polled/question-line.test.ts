import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { parseFormat } from "#daemon/link/formats/formats";
import { questionsOf } from "#daemon/link/polled/polled-furnace";
import type { Question } from "#daemon/link/polled/question";
import { type Outcome, QuestionLine } from "#daemon/link/polled/question-line";
import { FakeClock } from "#tests/helpers/fake-clock";
import { ModbusSlave, rtuFrame } from "#tests/helpers/modbus-slave";

const STEP_SECONDS = 0.01;

function questions(spec: string): Question[] {
  const parsed = parseFormat(spec);
  if (!parsed.ok || !("everySeconds" in parsed.format)) throw new RangeError(`${spec} is not asked`);
  return questionsOf(parsed.format);
}

/** The question of a format that has one. */
function question(spec: string): Question {
  const [only] = questions(spec);
  if (!only) throw new RangeError(`${spec} asks nothing`);
  return only;
}

describe("a line of questions", () => {
  const clock = new FakeClock();
  const passedOver: string[] = [];
  const late: number[] = [];
  const asker = {
    passedOver: (bytes: Uint8Array) => passedOver.push(Buffer.from(bytes).toString("hex")),
    cameLate: (seconds: number) => late.push(seconds),
  };
  let line: QuestionLine;
  let slave: ModbusSlave;

  beforeEach(() => {
    vi.useFakeTimers();
    passedOver.length = 0;
    late.length = 0;
    slave = new ModbusSlave((bytes) => line.hear(bytes));
    slave.units.set(1, { input: { 0: 100, 1: 200, 2: 300, 9: 900 }, holding: { 0: 55 } });
    slave.units.set(2, { input: { 0: 222 } });
    line = lineAt(9600);
  });
  afterEach(() => {
    line.close();
    vi.useRealTimers();
  });

  function lineAt(baudRate: number): QuestionLine {
    const write = (bytes: Uint8Array) => {
      slave.take(bytes);
      return true;
    };
    return new QuestionLine({ clock, write, baudRate });
  }

  async function pass(seconds: number): Promise<void> {
    for (let left = seconds; left > 1e-9; left -= STEP_SECONDS) {
      clock.advanceSeconds(STEP_SECONDS);
      await vi.advanceTimersByTimeAsync(STEP_SECONDS * 1000);
    }
  }

  /** What becomes of a question, as one word: its value, or what happened instead. */
  function asked(spec: string): string[] {
    const told: string[] = [];
    for (const one of questions(spec)) void line.ask(one, asker).then((outcome) => told.push(word(outcome)));
    return told;
  }

  it("answers in the order of the questions, never two at once", async () => {
    slave.replies = (bytes) => [{ bytes, afterMilliseconds: 50 }];
    const told = ["input 0 int16", "input 2 int16", "holding 0 int16"].map((what) =>
      asked(`modbus:${what}=celsius;timeout=0.5`),
    );
    await pass(1);
    expect(told).toEqual([["100"], ["300"], ["55"]]);
    expect(slave.mostOutstanding).toBe(1);
    expect(slave.requests).toHaveLength(3);
  });

  it("asks once more, then gives up", async () => {
    slave.replies = () => [];
    const told = asked("modbus:input 0 int16=celsius;timeout=0.5");
    await pass(0.5);
    expect(slave.requests).toHaveLength(1);
    await pass(0.4);
    expect(slave.requests).toHaveLength(2);
    await pass(0.5);
    expect(told).toEqual(["unanswered"]);
    await pass(3);
    expect(slave.requests).toHaveLength(2);
  });

  it("waits for the time of the bytes on a slow line as well", async () => {
    line = lineAt(300);
    slave.replies = (bytes) => [{ bytes, afterMilliseconds: 550 }]; // 15 characters of 11 bits at 300 Bd are 550 ms
    const told = asked("modbus:input 0 int16=celsius;timeout=0.1");
    await pass(1);
    expect(told).toEqual(["100"]);
  });

  it("tries a busy unit once more", async () => {
    const busy = rtuFrame("01 84 06");
    slave.replies = (bytes) => [{ bytes: slave.requests.length === 1 ? busy : bytes, afterMilliseconds: 5 }];
    const told = asked("modbus:input 0 int16=celsius;timeout=0.5");
    await pass(1);
    expect(told).toEqual(["100"]);
    expect(slave.requests).toHaveLength(2);
  });

  it("takes an exception for an answer, and does not ask again", async () => {
    const told = asked("modbus:input 500 int16=celsius;timeout=0.5");
    await pass(2);
    expect(told).toEqual(["unit 1 says illegal data address (2)"]);
    expect(slave.requests).toHaveLength(1);
  });

  // Two registers apart: two requests whose replies look the same but for what they hold.
  const alike = "modbus:input 0 int16=celsius;input 2 int16=cold-celsius;timeout=0.2";
  it.each([0.25, 0.3, 0.35, 0.5, 0.55, 0.7, 0.9, 1])(
    "never takes an answer that is %d s late for that of the next question",
    async (seconds) => {
      slave.replies = (bytes, { address }) => [
        { bytes, afterMilliseconds: address === 0 ? seconds * 1000 : 5 },
      ];
      for (let round = 0; round < 5; round++) {
        const told = asked(alike);
        await pass(3);
        expect(told).toHaveLength(2);
        expect(["100", "unanswered"]).toContain(told[0]);
        expect(told[1]).toBe("300");
      }
      expect(slave.mostOutstanding).toBeLessThanOrEqual(seconds > 0.3 ? 2 : 1);
    },
  );

  it("waits no longer for an answer once the unit has answered something else", async () => {
    slave.replies = (bytes, { address }) => (address === 9 ? [] : [{ bytes, afterMilliseconds: 5 }]);
    const told = ["input 9 int16", "holding 0 int16", "input 0 int16"].map((what) =>
      asked(`modbus:${what}=celsius;timeout=0.2`),
    );
    await pass(0.8);
    expect(told).toEqual([["unanswered"], ["55"], ["100"]]);
  });

  it("tells how late an answer came", async () => {
    slave.replies = (bytes) => [{ bytes, afterMilliseconds: 260 }];
    asked("modbus:input 0 int16=celsius;timeout=0.2");
    await pass(3);
    expect(late[0]).toBeCloseTo(0.26, 1);
    expect(passedOver[0]).toBe(rtuFrame("01 04 02 00 64").toString("hex"));
  });

  it("tells it to who asked, also when another unit is asked meanwhile", async () => {
    slave.replies = (bytes, { unit }) => [{ bytes, afterMilliseconds: unit === 1 ? 480 : 300 }];
    const told: number[] = [];
    const other = { passedOver: () => {}, cameLate: (seconds: number) => told.push(seconds) };
    void line.ask(question("modbus:input 0 int16=celsius;timeout=0.1"), other); // given up after 0.3 s
    const asking = asked("modbus:unit=2;input 0 int16=celsius;timeout=0.5");
    await pass(2);
    expect(asking).toEqual(["222"]);
    expect(told[0]).toBeCloseTo(0.48, 1);
    expect(late).toEqual([]);
  });

  it("does not let another unit wait for a late answer", async () => {
    slave.replies = (bytes, { unit }) => (unit === 1 ? [] : [{ bytes, afterMilliseconds: 5 }]);
    const first = asked("modbus:input 0 int16=celsius;timeout=0.2");
    const alikeOne = asked("modbus:input 2 int16=celsius;timeout=0.2");
    const other = asked("modbus:unit=2;input 0 int16=celsius;timeout=0.2");
    await pass(0.8);
    expect(first).toEqual(["unanswered"]);
    expect(other).toEqual(["222"]);
    expect(alikeOne).toEqual([]);
    await pass(2);
    expect(alikeOne).toEqual(["unanswered"]);
  });

  it("leaves a noisy line until it is quiet, but not for ever", async () => {
    const noise = setInterval(() => line.hear(Buffer.from([0xff])), 20);
    slave.replies = (bytes) => [{ bytes, afterMilliseconds: 5 }];
    const told = asked("modbus:input 0 int16=celsius;timeout=0.5");
    await pass(1.9);
    expect(slave.requests).toHaveLength(0);
    await pass(0.3);
    clearInterval(noise);
    expect(told).toEqual(["100"]);
    expect(passedOver[0]).toMatch(/^(ff)+$/);
  });

  it("settles every question when it is closed, and leaves no timer", async () => {
    slave.replies = () => [];
    const told = [asked("modbus:input 0 int16=celsius"), asked("modbus:input 2 int16=celsius")];
    const pause = line.pause(60);
    await pass(0.3);
    line.close();
    await pause;
    await vi.advanceTimersByTimeAsync(20); // the slave's own
    expect(told).toEqual([["closed"], ["closed"]]);
    expect(asked("modbus:input 0 int16=celsius")).toEqual([]);
    expect(vi.getTimerCount()).toBe(0);
  });

  it("drops what somebody who left has not asked yet", async () => {
    slave.replies = (bytes) => [{ bytes, afterMilliseconds: 50 }];
    const other = { passedOver: () => {}, cameLate: () => {} };
    const first = asked("modbus:input 0 int16=celsius");
    const left = line.ask(question("modbus:input 2 int16=celsius"), other).then(word);
    await pass(0.11);
    line.forget(other);
    await pass(1);
    expect(first).toEqual(["100"]);
    expect(await left).toBe("closed");
    expect(slave.requests).toHaveLength(1);
  });

  // A line whose first half was thrown away would read as another, smaller number.
  it("never takes the second half of a late line for a whole answer", async () => {
    const spec = "scpi:READ?=celsius;timeout=0.2";
    slave.units.clear(); // it only counts
    const told = asked(spec);
    await pass(0.25);
    line.hear(Buffer.from("51"));
    await pass(0.5);
    line.hear(Buffer.from("2.4\n"));
    await pass(0.2);
    expect(slave.heard).toHaveLength(2);
    line.hear(Buffer.from("512.5\n"));
    await pass(0.1);
    expect(told).toEqual(["512.5"]);
  });
});

/** The value of an answer, or what happened instead. */
function word(outcome: Outcome): string {
  if (outcome.kind !== "answered") return outcome.kind;
  return outcome.answer.kind === "values"
    ? outcome.answer.fields.map(({ text }) => text).join(" ")
    : outcome.answer.why;
}
