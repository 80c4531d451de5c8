import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { FaultyLine, LINE_FAULTS, type LineFault } from "#simulators/faults";
import { healthySensor, instrumentReading } from "#simulators/instrument-reading";
import { rtuFrame } from "#simulators/modbus-slave";
import { tcpFrame } from "#simulators/modbus-tcp";
import { POLLED_FORMATS, type PolledFormat, PolledLine, type PolledUnit } from "#simulators/polled-line";
import { SCPI_IDENTITY } from "#simulators/scpi-instrument";
import { benchReading } from "#tests/helpers/bench-reading";

const READ_TEMPERATURE = Buffer.from([4, 0, 0, 0, 1]);

/** What furnace 2 says at 600 °C, and how it is asked. */
const EXCHANGES: Readonly<Record<PolledFormat, { question: Buffer; answer: Buffer }>> = {
  modbus: { question: rtuFrame(2, READ_TEMPERATURE), answer: rtuFrame(2, Buffer.from([4, 2, 0x17, 0x70])) },
  "modbus-tcp": {
    question: tcpFrame(7, 2, READ_TEMPERATURE),
    answer: tcpFrame(7, 2, Buffer.from([4, 2, 0x17, 0x70])),
  },
  scpi: { question: Buffer.from("MEAS:TEMP? (@2)\n"), answer: Buffer.from("+6.00000E+02\n") },
};

beforeEach(() => {
  vi.useFakeTimers();
});

afterEach(() => {
  vi.useRealTimers();
});

describe.each(POLLED_FORMATS)("a line on which is asked by %s", (format) => {
  const { question, answer } = EXCHANGES[format];

  it("says nothing by itself, and answers whoever asked", () => {
    const { line, said, callers } = twoFurnaces(format);
    vi.advanceTimersByTime(10_000);
    expect(said).toEqual([]);
    line.hear(question, callers[1]);
    expect(said).toEqual([{ answer, caller: callers[1] }]);
  });

  it("does not put a question together from pieces of two callers", () => {
    const { line, said, callers } = twoFurnaces(format);
    line.hear(question.subarray(0, 5), callers[0]);
    line.hear(question.subarray(5), callers[1]);
    expect(said.filter((each) => each.answer.equals(answer))).toEqual([]);
    line.hear(question.subarray(5), callers[0]);
    expect(said).toContainEqual({ answer, caller: callers[0] });
  });

  it("does not answer when the reading was left out", () => {
    const { line, said, callers, units } = twoFurnaces(format);
    units[1].latest = null;
    line.hear(question, callers[0]);
    vi.advanceTimersByTime(1000);
    expect(said).toEqual([]);
  });

  it.each(LINE_FAULTS)("spoils the answers of the furnace with the fault alone: %s", (fault) => {
    const { line, said, callers, units } = twoFurnaces(format);
    units[0].line.setFault(fault);
    line.hear(question, callers[0]);
    expect(said).toEqual([{ answer, caller: callers[0] }]);
    units[1].line.setFault(fault);
    const spoiled = Array.from({ length: 40 }, () => {
      line.hear(question, callers[0]);
      return said.at(-1)?.answer ?? Buffer.alloc(0);
    });
    expect(spoiled.some((bytes) => !bytes.equals(answer))).toBe(!ONLY_LATER.includes(fault));
  });
});

/** What these do happens after the answer is made. */
const ONLY_LATER: readonly LineFault[] = ["slow", "late"];

describe("an answer that belongs to somebody else", () => {
  it("is a good frame of the next unit on a bus, over TCP too", () => {
    const data = Buffer.from([4, 2, 0x17, 0x70]);
    expect(answerOfOther("modbus")).toEqual(rtuFrame(3, data));
    expect(answerOfOther("modbus-tcp")).toEqual(tcpFrame(7, 3, data));
  });

  it("is who the instrument is, where it was asked for a temperature", () => {
    expect(answerOfOther("scpi").toString()).toBe(`${SCPI_IDENTITY}\n`);
  });
});

describe("a Modbus line", () => {
  it("answers for nobody who is not on it, and for all that is broadcast", () => {
    const { line, said, callers } = twoFurnaces("modbus");
    for (const unit of [0, 3, 247]) line.hear(rtuFrame(unit, READ_TEMPERATURE), callers[0]);
    vi.advanceTimersByTime(1000);
    expect(said).toEqual([]);
  });

  it("refuses a function that it does not know once the line is quiet", () => {
    const { line, said, callers } = twoFurnaces("modbus");
    line.hear(rtuFrame(1, Buffer.from([0x2b, 0x0e, 1, 0])), callers[0]);
    expect(said).toEqual([]);
    vi.advanceTimersByTime(100);
    expect(said).toEqual([{ answer: rtuFrame(1, Buffer.from([0xab, 1])), caller: callers[0] }]);
  });

  it("hears a question after noise and a pause", () => {
    const { line, said, callers } = twoFurnaces("modbus");
    line.hear(Buffer.from([0xff, 0, 0x42]), callers[0]);
    vi.advanceTimersByTime(100);
    line.hear(EXCHANGES.modbus.question, callers[0]);
    expect(said).toHaveLength(1);
  });

  it("takes the numbers 0 and 255 for itself over TCP", () => {
    const { line, said, callers } = twoFurnaces("modbus-tcp");
    for (const unit of [0, 255]) line.hear(tcpFrame(1, unit, READ_TEMPERATURE), callers[0]);
    expect(said.map(({ answer }) => [...answer].slice(6))).toEqual([
      [0, 4, 2, 0x13, 0x88],
      [255, 4, 2, 0x13, 0x88],
    ]);
  });
});

function answerOfOther(format: PolledFormat): Buffer {
  const { line, said, callers, units } = twoFurnaces(format);
  units[1].line.setFault("other-unit");
  line.hear(EXCHANGES[format].question, callers[0]);
  return said[0]?.answer ?? Buffer.alloc(0);
}

/** Furnaces 1 at 500 °C and 2 at 600 °C on one line, and two who may ask. */
function twoFurnaces(format: PolledFormat) {
  const unit = (celsius: number) => {
    const bench = benchReading({ celsius });
    const latest: PolledUnit["latest"] = instrumentReading(bench, healthySensor(bench, "K"));
    return { latest, line: new FaultyLine(1) } as { latest: PolledUnit["latest"]; line: FaultyLine };
  };
  const units = [unit(500), unit(600)] as const;
  const callers = [{ write: () => true }, { write: () => true }] as const;
  const said: { answer: Buffer; caller: object }[] = [];
  const numbered = new Map(units.map((each, index) => [index + 1, each]));
  const line = new PolledLine(format, numbered, (answer, _unit, caller) => said.push({ answer, caller }));
  return { line, said, callers, units };
}
