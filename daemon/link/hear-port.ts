import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import { type AskedPort, askRates } from "#daemon/link/ask-rates";
import { type ByteSource, portSource } from "#daemon/link/byte-source";
import { byText, nothingFits } from "#daemon/link/heard-words";
import {
  COMMON_BAUD_RATES,
  type Hearing,
  hearingGuesses,
  hearingStep,
  isSilence,
  isText,
  isTextWithNumbers,
  MOST_FIRST_BYTES,
  MOST_LINES,
  type Patience,
  sevenBitFraming,
  type Tuning,
} from "#daemon/link/hearing";
import { LineFramer } from "#daemon/link/line-framer";
import type { FormatGuess } from "#daemon/link/listen";
import type { SerialFraming } from "#shared/furnace";
import type { Proposal } from "#shared/listening";

/** How a port is listened to. */
export interface HearOptions {
  /** Null tries the common rates. */
  readonly baudRate: number | null;
  /** At each rate, s; a slow instrument whose text is known is listened to for longer. */
  readonly seconds: number;
  /** Also ask what said nothing by itself, with questions that change nothing. */
  readonly asks: boolean;
  /** 8N1, and what the bytes tell of seven data bits, unless something else is given. */
  readonly framing?: SerialFraming | undefined;
  /** In all, s. */
  readonly mostSeconds: number;
  /** Ends it early, with what was heard. */
  readonly signal?: AbortSignal | undefined;
}

/** What was heard of a port, and the ways to read it. */
export interface HeardPort {
  /** Best first. */
  readonly proposals: readonly Proposal[];
  /** Every opening, in their order. */
  readonly hearings: readonly Hearing[];
  /** The one that was understood best. */
  readonly best: Hearing | null;
  /** Who answered when it was asked, in words. */
  readonly answers: readonly string[];
  /** One line when nothing fits: what was heard, and what to try. */
  readonly message: string | null;
  /** False for a recording and for a socket: they have no baud rate. */
  readonly isSerial: boolean;
}

const MOST_PROPOSALS = 10;
/** Of the time in all, so much is kept for asking what is silent, s. */
export const ASKING_SECONDS = 19;
/** Nothing is asked that was not listened to before, for such a part of the time at least. */
const LEAST_LISTENING = 0.15;
const NOT_ASKED: AskedPort = { proposals: [], answers: [], baudRates: [] };
const LONGEST_SETTLING_SECONDS = 0.5;
const TICK_MILLISECONDS = 100;
/** The longest that an opening is waited for, ms; a socket gives up by itself before. */
const OPENING_MILLISECONDS = 6000;
/** A rate that was left in silence is tried again when something came later; it is waited for a bit longer. */
const LONGER_THAN_SILENCE = 1.5;
const USUAL_TUNING: Tuning = { baudRate: 9600, framing: "8N1" };

/**
 * Listens to an unknown port, at one baud rate or at the common ones, until lines read well, and says how they
 * can be read. Each opening has a framer of its own and drops the line that it began in; each is closed before
 * the next.
 *
 *     silence ─▶ next rate    no text ─▶ next rate    lines that fit ─▶ enough
 *
 * When bytes came, but no text with numbers at any rate, all rates are tried once more, and what comes
 * right after the opening is not looked at: an adapter may still give what it heard at the rate before.
 * @throws DaemonError when the port cannot be opened, or is lost before anything was heard
 */
export async function hearPort(
  port: string,
  options: HearOptions,
  clock: Clock,
  sourceFor: typeof portSource = portSource,
): Promise<HeardPort> {
  const { asks, mostSeconds } = options;
  const beginSeconds = clock.monotonicSeconds();
  const search = new PortSearch(port, options, clock, sourceFor);
  const hearings = await search.run();
  const { isSerial, isRecording } = search;
  const asked =
    asks && hearings.every(isSilence) && !isRecording
      ? await askRates(port, options, beginSeconds + mostSeconds, clock, sourceFor)
      : NOT_ASKED;
  const proposals = [...proposalsOf(hearings), ...asked.proposals].slice(0, MOST_PROPOSALS);
  const best = bestHearing(hearings, proposals[0]);
  const attempt = { port, baudRate: options.baudRate, isSerial, askedAt: asked.baudRates };
  const message = proposals.length > 0 ? null : nothingFits(attempt, hearings);
  return { proposals, hearings, best, answers: asked.answers, message, isSerial };
}

/** How long silence is listened to, in all and at each rate: less where it is asked afterwards. */
function silenceOf({ asks, baudRate, seconds, mostSeconds }: HearOptions) {
  if (!asks) return { mostSeconds, seconds };
  const most = Math.max(mostSeconds - ASKING_SECONDS, LEAST_LISTENING * mostSeconds);
  const rates = baudRate === null ? COMMON_BAUD_RATES.length : 1;
  return { mostSeconds: most, seconds: Math.min(seconds, most / rates) };
}

/** One search over the ways to open a port. */
class PortSearch {
  readonly #port: string;
  readonly #options: HearOptions;
  readonly #silence: ReturnType<typeof silenceOf>;
  readonly #clock: Clock;
  readonly #sourceFor: typeof portSource;
  readonly #beginSeconds: number;
  readonly #hearings: Hearing[] = [];
  /** False for a recording and for a socket: they have no baud rate. */
  isSerial = true;
  isRecording = false;
  #isSearching: boolean;
  /** What comes so soon after an opening is not looked at, s. */
  #settlingSeconds = 0;
  /** Since something came last, and the longest such time, s. */
  #quietSeconds = 0;
  #longestQuietSeconds = 0;

  constructor(port: string, options: HearOptions, clock: Clock, sourceFor: typeof portSource) {
    this.#port = port;
    this.#options = options;
    this.#silence = silenceOf(options);
    this.#clock = clock;
    this.#sourceFor = sourceFor;
    this.#beginSeconds = clock.monotonicSeconds();
    this.#isSearching = options.baudRate === null;
  }

  async run(): Promise<readonly Hearing[]> {
    const { baudRate, framing = USUAL_TUNING.framing } = this.#options;
    const rates = baudRate === null ? COMMON_BAUD_RATES : [baudRate];
    const tunings = rates.map((rate) => ({ baudRate: rate, framing }));
    await this.#search(tunings);
    if (this.#isSearching && this.#isHeard() && !this.#hearings.some(isTextWithNumbers)) {
      this.#settlingSeconds = LONGEST_SETTLING_SECONDS;
      await this.#search(tunings);
    }
    return this.#hearings;
  }

  async #search(tunings: readonly Tuning[]): Promise<void> {
    let ahead = tunings;
    let silent: readonly Tuning[] = [];
    for (let next = ahead[0]; next; next = ahead[0]) {
      const isHeardBefore = this.#isHeard();
      if (await this.#tryFramings(next)) break;
      ahead = ahead.slice(1);
      if (!isHeardBefore && !this.#isHeard()) silent = [...silent, next];
      if (!isHeardBefore && this.#isHeard()) ahead = [...silent, ...ahead];
    }
  }

  /** @returns true when enough was heard, or nothing more can be */
  async #tryFramings(tuning: Tuning): Promise<boolean> {
    const isDone = await this.#try(tuning);
    const framing = this.#otherFraming();
    return framing ? this.#try({ ...tuning, framing }) : isDone;
  }

  /** Whether anything came so far: then a rate that was silent before may only have been left too early. */
  #isHeard(): boolean {
    return this.#hearings.some(({ byteCount }) => byteCount > 0);
  }

  /** @returns true when enough was heard, or nothing more can be */
  async #try({ baudRate, framing }: Tuning): Promise<boolean> {
    if (this.#options.signal?.aborted || this.#secondsLeft() <= 0) return true;
    const source = await this.#source({ baudRate, framing });
    this.isRecording = source.isRecording;
    if (source.isRecording || this.#port.startsWith("tcp:")) this.isSerial = this.#isSearching = false;
    const heard = await this.#hear(source, { baudRate, framing });
    if (heard.fault) {
      if (this.#hearings.length === 0 && heard.hearing.lines.length === 0) throw heard.fault;
      if (heard.hearing.byteCount === 0) return heard.fault.code === "port-missing";
    }
    this.#hearings.push(heard.hearing);
    this.#noteQuiet(heard.hearing);
    return heard.isEnough || heard.fault !== null || !this.#isSearching;
  }

  /** Nobody wants to wait for a recording to be heard at the speed of the furnace. */
  async #source(tuning: Tuning): Promise<ByteSource> {
    const source = await this.#sourceFor(this.#port, tuning, this.#clock);
    if (!source.isRecording || this.#port.includes("?speed=")) return source;
    const path = this.#port.startsWith("file:") ? this.#port : `file:${this.#port}`;
    return this.#sourceFor(`${path}?speed=100000`, tuning, this.#clock);
  }

  async #hear(source: ByteSource, tuning: Tuning): Promise<HeardOnce> {
    const ear = new Ear(this.#port, tuning, this.#clock, this.#settlingSeconds);
    try {
      const end = await ear.listen(source, () => this.#patience(), this.#options.signal);
      return { hearing: ear.hearing(), ...end };
    } finally {
      await source.close();
      ear.close();
    }
  }

  #patience(): Patience {
    const { seconds } = this.#options;
    const silentSeconds = this.#isHeard()
      ? Math.max(seconds, LONGER_THAN_SILENCE * this.#longestQuietSeconds)
      : this.#silence.seconds;
    const left = this.#secondsLeft();
    return {
      silentSeconds: Math.min(left, silentSeconds),
      seconds: Math.min(left, seconds),
      isSearching: this.#isSearching && left > 0,
    };
  }

  #secondsLeft(): number {
    const { mostSeconds } = this.#hearings.every(isSilence) ? this.#silence : this.#options;
    return mostSeconds - (this.#clock.monotonicSeconds() - this.#beginSeconds);
  }

  #noteQuiet({ byteCount, quietSeconds, seconds }: Hearing): void {
    this.#quietSeconds += byteCount === 0 ? seconds : 0;
    this.#longestQuietSeconds = Math.max(this.#longestQuietSeconds, this.#quietSeconds);
    if (byteCount > 0) this.#quietSeconds = quietSeconds;
  }

  /** The framing that the newest hearing tells, when it is another one and nobody gave one. */
  #otherFraming(): SerialFraming | null {
    const newest = this.#hearings.at(-1);
    if (
      !this.isSerial ||
      !newest ||
      this.#options.framing !== undefined ||
      newest.framing !== USUAL_TUNING.framing
    )
      return null;
    return isText(newest) ? null : sevenBitFraming(newest);
  }
}

interface HeardOnce {
  readonly hearing: Hearing;
  readonly isEnough: boolean;
  readonly fault: DaemonError | null;
}

/** What listens to one opening of a port. */
class Ear {
  readonly #port: string;
  readonly #tuning: Tuning;
  readonly #clock: Clock;
  readonly #settlingSeconds: number;
  readonly #lines: string[] = [];
  readonly #framer: LineFramer;
  #firstBytes = Buffer.alloc(0);
  #openedAtSeconds: number;
  #heardAtSeconds: number | null = null;

  constructor(port: string, tuning: Tuning, clock: Clock, settlingSeconds: number) {
    this.#port = port;
    this.#tuning = tuning;
    this.#clock = clock;
    this.#settlingSeconds = settlingSeconds;
    this.#openedAtSeconds = clock.monotonicSeconds();
    this.#framer = new LineFramer((line) => {
      if (this.#lines.length < MOST_LINES) this.#lines.push(line);
    });
  }

  /** Settles when enough was heard, the patience is over, or the port is lost or at its end. */
  async listen(
    source: ByteSource,
    patience: () => Patience,
    signal: AbortSignal | undefined,
  ): Promise<{ readonly isEnough: boolean; readonly fault: DaemonError | null }> {
    let timer: NodeJS.Timeout | undefined;
    let stop = () => {};
    try {
      return await new Promise((resolve) => {
        stop = () => resolve({ isEnough: true, fault: null });
        timer = setTimeout(
          () => resolve({ isEnough: false, fault: noAnswer(this.#port) }),
          OPENING_MILLISECONDS,
        );
        signal?.addEventListener("abort", stop, { once: true });
        const look = () => {
          const step = hearingStep(this.hearing(), patience());
          if (step !== "listen") resolve({ isEnough: step === "enough", fault: null });
        };
        source.open({
          opened: () => {
            this.#openedAtSeconds = this.#clock.monotonicSeconds();
            clearTimeout(timer);
            timer = setInterval(look, tickMilliseconds(patience()));
          },
          bytes: (chunk) => {
            this.#push(chunk);
            if (this.#lines.length === MOST_LINES) look();
          },
          lost: (fault) => resolve({ isEnough: false, fault }),
          ended: () => resolve({ isEnough: true, fault: null }),
        });
      });
    } finally {
      clearInterval(timer);
      signal?.removeEventListener("abort", stop);
    }
  }

  hearing(): Hearing {
    const now = this.#clock.monotonicSeconds();
    return {
      ...this.#tuning,
      lines: this.#lines,
      overlongLines: this.#framer.overlongLines,
      byteCount: this.#framer.heardBytes,
      firstBytes: this.#firstBytes,
      seconds: now - this.#openedAtSeconds,
      quietSeconds: now - (this.#heardAtSeconds ?? this.#openedAtSeconds),
    };
  }

  close(): void {
    this.#framer.close();
  }

  #push(chunk: Uint8Array): void {
    const now = this.#clock.monotonicSeconds();
    if (now - this.#openedAtSeconds < this.#settlingSeconds) return;
    this.#heardAtSeconds = now;
    if (this.#firstBytes.length < MOST_FIRST_BYTES)
      this.#firstBytes = Buffer.concat([this.#firstBytes, chunk]).subarray(0, MOST_FIRST_BYTES);
    this.#framer.push(chunk);
  }
}

function tickMilliseconds({ seconds }: Patience): number {
  return Math.max(10, Math.min(TICK_MILLISECONDS, seconds * 250));
}

/** Of a search only what came as text is believed: noise may look like a number now and then. */
function proposalsOf(hearings: readonly Hearing[]): Proposal[] {
  return hearings
    .filter((hearing) => hearings.length === 1 || isText(hearing))
    .flatMap((hearing) => hearingGuesses(hearing).map((guess) => ({ hearing, guess })))
    .sort((a, b) => weight(b.guess) - weight(a.guess))
    .slice(0, MOST_PROPOSALS)
    .map(({ hearing: { baudRate, framing, lines }, guess: { spec, fits, preview } }) => ({
      format: spec,
      baudRate,
      framing,
      isPolled: false,
      fits,
      heard: lines.length,
      preview,
    }));
}

/** A format that fits more lines is surer. */
function weight({ score, fits }: FormatGuess): number {
  return (score * fits) / (fits + 1);
}

function bestHearing(hearings: readonly Hearing[], proposal: Proposal | undefined): Hearing | null {
  const proposed = hearings.findLast(
    ({ baudRate, framing }) => baudRate === proposal?.baudRate && framing === proposal.framing,
  );
  return proposed ?? [...hearings].sort(byText)[0] ?? null;
}

function noAnswer(port: string): DaemonError {
  return new DaemonError(
    "port-unusable",
    `Cannot open ${port}: it does not answer. Unplug the adapter and plug it in again.`,
  );
}
