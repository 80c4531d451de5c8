import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import type { ByteSource, ByteSourceEvents, portSource } from "#daemon/link/byte-source";
import { type HearOptions, hearPort } from "#daemon/link/hear-port";
import { COMMON_BAUD_RATES, type Tuning } from "#daemon/link/hearing";
import { received } from "#tests/helpers/uart";

/** Time as the faked timers have it. */
const clock: Clock = { monotonicSeconds: () => Date.now() / 1000, epochMilliseconds: () => Date.now() };

/** Who has a port open, how, and how it was open before. */
interface Listener {
  readonly tuning: Tuning;
  readonly before: Tuning;
  readonly openedAt: number;
  readonly events: ByteSourceEvents;
}

/** An instrument on a serial line that says a line every so often, whoever listens. */
class Instrument {
  /** How it was opened, in that order, and whether two ever had it open at once. */
  readonly tunings: Tuning[] = [];
  opens = 0;
  mostOpen = 0;
  /** How often somebody wrote to it. */
  written = 0;
  readonly #tuning: Tuning;
  readonly #line: (count: number) => string;
  readonly #everySeconds: number;
  /** A port that was just opened gives for so long what is heard at the rate before, s. */
  readonly #lagSeconds: number;
  readonly #listeners = new Set<Listener>();
  #count = 0;
  #timer: NodeJS.Timeout | null = null;

  constructor(tuning: Tuning, everySeconds: number, line: (count: number) => string, lagSeconds = 0) {
    this.#tuning = tuning;
    this.#everySeconds = everySeconds;
    this.#line = line;
    this.#lagSeconds = lagSeconds;
  }

  get isOpen(): boolean {
    return this.#listeners.size > 0;
  }

  begin(): void {
    this.#timer = setInterval(() => {
      const said = `${this.#line(this.#count++)}\r\n`;
      for (const { tuning, before, openedAt, events } of [...this.#listeners]) {
        const isLagging = Date.now() - openedAt < this.#lagSeconds * 1000;
        const bytes = received(said, this.#tuning, isLagging ? before : tuning);
        if (bytes.length > 0) events.bytes(bytes);
      }
    }, this.#everySeconds * 1000);
  }

  end(): void {
    if (this.#timer) clearInterval(this.#timer);
  }

  /** The cable is pulled. */
  unplug(): void {
    for (const { events } of [...this.#listeners])
      events.lost(new DaemonError("port-missing", "Lost the port: the adapter was unplugged."));
    this.#listeners.clear();
  }

  sourceFor: typeof portSource = async (_address, { baudRate, framing = "8N1" }) => {
    const tuning = { baudRate, framing };
    let listener: Listener | null = null;
    const source: ByteSource = {
      isRecording: false,
      open: (events) => {
        listener = { tuning, before: this.tunings.at(-1) ?? tuning, openedAt: Date.now(), events };
        this.tunings.push(tuning);
        this.#listeners.add(listener);
        this.mostOpen = Math.max(this.mostOpen, this.#listeners.size);
        events.opened();
      },
      write: () => {
        this.written += 1;
        return true;
      },
      close: async () => {
        if (listener) this.#listeners.delete(listener);
      },
    };
    return source;
  };
}

let instrument: Instrument | null = null;

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  instrument?.end();
  vi.useRealTimers();
});

const usual: HearOptions = { baudRate: null, seconds: 2, asks: false, mostSeconds: 25 };

/** Listens to an instrument until the answer is there. */
async function heard(speaker: Instrument, options: Partial<HearOptions> = {}) {
  instrument = speaker;
  speaker.begin();
  const begin = Date.now();
  const answer = hearPort("/dev/ttyUSB0", { ...usual, ...options }, clock, speaker.sourceFor);
  const settled = answer.then(
    () => true,
    () => true,
  );
  let isSettled = false;
  void settled.then(() => {
    isSettled = true;
  });
  while (!isSettled && Date.now() - begin < 120_000) await vi.advanceTimersByTimeAsync(20);
  return { ...(await answer), tookSeconds: (Date.now() - begin) / 1000 };
}

const pairs = (count: number) => `s=${count}.0 T=${(512 + count * 0.7).toFixed(1)} P=1013.2`;
const at = (baudRate: number, framing: Tuning["framing"] = "8N1"): Tuning => ({ baudRate, framing });

describe("hearing a port whose rate nobody knows", () => {
  it.each(COMMON_BAUD_RATES.map((baudRate) => ({ baudRate })))(
    "finds $baudRate baud, and ends with the fifth line",
    async ({ baudRate }) => {
      const speaker = new Instrument(at(baudRate), 0.25, pairs);
      const { proposals, message, tookSeconds } = await heard(speaker);
      expect(proposals[0]).toMatchObject({
        format: "pairs:s=seconds,T=celsius,P=hectopascals",
        baudRate,
        framing: "8N1",
        isPolled: false,
        preview: { hectopascals: 1013.2 },
      });
      expect(proposals[0]?.fits).toBe(proposals[0]?.heard);
      expect(proposals.every((proposal) => proposal.baudRate === baudRate)).toBe(true);
      expect(message).toBeNull();
      expect(speaker.tunings.at(-1)).toEqual(at(baudRate));
      expect(speaker.mostOpen).toBe(1);
      expect(speaker.isOpen).toBe(false);
      expect(tookSeconds).toBeLessThan(12);
    },
  );

  it.each([
    { everySeconds: 2, baudRate: 9600 },
    { everySeconds: 2, baudRate: 115_200 },
    { everySeconds: 2, baudRate: 38_400 },
    { everySeconds: 3, baudRate: 9600 },
    { everySeconds: 3, baudRate: 19_200 },
  ])("finds an instrument that speaks every $everySeconds s at $baudRate baud", async (slow) => {
    const speaker = new Instrument(at(slow.baudRate), slow.everySeconds, pairs);
    const { proposals, tookSeconds } = await heard(speaker);
    expect(proposals[0]).toMatchObject({ baudRate: slow.baudRate, preview: { hectopascals: 1013.2 } });
    expect(tookSeconds).toBeLessThanOrEqual(25.2);
  });

  it.each([{ framing: "7E1" as const }, { framing: "7O1" as const }])(
    "finds $framing by the parity of its bytes",
    async ({ framing }) => {
      const speaker = new Instrument(at(19_200, framing), 0.5, pairs);
      const { proposals } = await heard(speaker);
      expect(proposals[0]).toMatchObject({ baudRate: 19_200, framing });
    },
  );

  it("reads an EMF with its cold junction", async () => {
    const speaker = new Instrument(
      at(38_400),
      0.5,
      (count) => `E=${(4.1 + count * 0.0071).toFixed(4)} CJ=24.1`,
    );
    const { proposals } = await heard(speaker);
    expect(proposals[0]).toMatchObject({
      format: "pairs:E=millivolts,CJ=cold-celsius",
      preview: { coldJunctionCelsius: 24.1 },
    });
  });

  it("says that nothing comes at any rate, and has tried all of them for their seconds", async () => {
    const speaker = new Instrument(at(9600), 1000, pairs);
    const { proposals, message, tookSeconds } = await heard(speaker);
    expect(proposals).toEqual([]);
    expect(speaker.tunings.map(({ baudRate }) => baudRate)).toEqual([...COMMON_BAUD_RATES]);
    expect(tookSeconds).toBeCloseTo(16, 0);
    expect(message).toBe(
      "Nothing heard from /dev/ttyUSB0 at any of 8 baud rates in 16 s: check the instrument and its cable and whether it speaks only when it is asked; another program may be reading this port",
    );
  });

  it("finds an instrument that is heard at the rate before for a while, as some adapters give it", async () => {
    const speaker = new Instrument(at(19_200), 0.1, pairs, 0.15);
    const { proposals } = await heard(speaker);
    expect(proposals[0]).toMatchObject({ baudRate: 19_200, preview: { hectopascals: 1013.2 } });
    expect(speaker.tunings.length).toBeGreaterThan(COMMON_BAUD_RATES.length);
  });

  it("says at which rates nothing answered that was asked", async () => {
    const speaker = new Instrument(at(9600), 1000, pairs);
    const { proposals, message, tookSeconds } = await heard(speaker, { asks: true, mostSeconds: 23 });
    expect(proposals).toEqual([]);
    expect(tookSeconds).toBeLessThan(23.5);
    expect(speaker.mostOpen).toBe(1);
    expect(speaker.isOpen).toBe(false);
    const asked = speaker.tunings.slice(COMMON_BAUD_RATES.length);
    expect(asked).toEqual([at(9600), at(19_200, "8E1"), at(19_200), at(9600, "8E1")]);
    expect(message).toMatch(
      /^Nothing heard from \/dev\/ttyUSB0 at any of 8 baud rates in [\d.]+ s, nor an answer when it was asked at 9600 and 19200 baud: check the instrument, its cable and its baud rate; another program may be reading this port$/,
    );
  });

  it("asks nobody who speaks by himself, and then listens as long as ever", async () => {
    const speaker = new Instrument(at(38_400), 1, pairs);
    const { proposals, answers } = await heard(speaker, { asks: true, mostSeconds: 23 });
    expect(proposals[0]).toMatchObject({ baudRate: 38_400, isPolled: false });
    expect(answers).toEqual([]);
    expect(speaker.written).toBe(0);
  });

  it("says so when bytes come that are no text at any rate", async () => {
    const speaker = new Instrument(at(9600), 0.5, () => "\u0001\u0003\u0004\u0002\u0010\u0000\u0080\u009c");
    const { proposals, message } = await heard(speaker);
    expect(proposals).toEqual([]);
    expect(message).toMatch(
      /^Bytes come from \/dev\/ttyUSB0, but they are no text at any of the common baud rates: /,
    );
  });

  it("says so when the text fits no format, and shows it", async () => {
    const speaker = new Instrument(at(19_200), 0.5, (count) => `status 0x${count} ready, alarm none`);
    const { best, message } = await heard(speaker);
    expect(best).toMatchObject({ baudRate: 19_200 });
    expect(best?.lines.at(-1)).toMatch(/^status 0x\d+ ready, alarm none$/);
    expect(message).toMatch(
      /^No format fits the \d+ lines heard from \/dev\/ttyUSB0: daemon.*formats\.md says/,
    );
  });

  it("ends in the time that it is given, whatever comes", async () => {
    for (const line of [() => "ready", (count: number) => `count 0x${count}`]) {
      const speaker = new Instrument(at(1200), 4.5, line);
      const { tookSeconds } = await heard(speaker, { mostSeconds: 10 });
      expect(tookSeconds).toBeLessThanOrEqual(10.2);
      instrument?.end();
    }
  });

  it("ends at once when nobody waits any longer, and leaves the port closed", async () => {
    const speaker = new Instrument(at(9600), 1000, pairs);
    const signal = AbortSignal.abort();
    const giveUp = new AbortController();
    setTimeout(() => giveUp.abort(), 3000);
    const { tookSeconds } = await heard(speaker, { signal: giveUp.signal });
    expect(tookSeconds).toBeCloseTo(3, 1);
    expect(speaker.isOpen).toBe(false);
    expect(speaker.tunings).toHaveLength(2);
    await heard(speaker, { signal });
    expect(speaker.tunings).toHaveLength(2);
  });

  it("tells what was heard before the cable was pulled", async () => {
    const speaker = new Instrument(at(9600), 0.4, pairs);
    setTimeout(() => speaker.unplug(), 1500);
    const { proposals } = await heard(speaker);
    expect(proposals[0]).toMatchObject({ baudRate: 9600, fits: 2, heard: 2 });
    expect(speaker.tunings).toHaveLength(1);
  });

  it("refuses a port that is pulled before anything came", async () => {
    const speaker = new Instrument(at(9600), 1000, pairs);
    setTimeout(() => speaker.unplug(), 500);
    const refused = heard(speaker).catch((error: Error) => error);
    await vi.advanceTimersByTimeAsync(1000);
    expect(await refused).toMatchObject({ message: "Lost the port: the adapter was unplugged." });
  });

  it("gives a port up that never opens", async () => {
    const source: ByteSource = {
      isRecording: false,
      open: () => {},
      write: () => false,
      close: async () => {},
    };
    const refused = hearPort("/dev/ttyUSB0", usual, clock, async () => source).catch((error: Error) => error);
    await vi.advanceTimersByTimeAsync(6000);
    expect(await refused).toMatchObject({
      message: "Cannot open /dev/ttyUSB0: it does not answer. Unplug the adapter and plug it in again.",
    });
  });
});

describe("hearing a port at a given rate", () => {
  it("tries no other, and takes all its seconds", async () => {
    const speaker = new Instrument(at(4800), 0.5, pairs);
    const { proposals, tookSeconds, message } = await heard(speaker, { baudRate: 9600, seconds: 4 });
    expect(speaker.tunings).toEqual([at(9600)]);
    expect(tookSeconds).toBeCloseTo(4, 0);
    expect(proposals).toEqual([]);
    expect(message).toMatch(/check the baud rate \(9600\)/);
  });

  it("tries the framing that the bytes tell", async () => {
    const speaker = new Instrument(at(9600, "7E1"), 0.5, pairs);
    const { proposals } = await heard(speaker, { baudRate: 9600 });
    expect(proposals[0]).toMatchObject({ baudRate: 9600, framing: "7E1" });
  });

  it("keeps to a framing that is given", async () => {
    const speaker = new Instrument(at(9600, "7E1"), 0.5, pairs);
    const { proposals } = await heard(speaker, { baudRate: 9600, framing: "8N2" });
    expect(speaker.tunings).toEqual([at(9600, "8N2")]);
    expect(proposals).toEqual([]);
  });
});
