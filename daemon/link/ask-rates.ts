import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import { askPort } from "#daemon/link/asking";
import type { portSource } from "#daemon/link/byte-source";
import type { Tuning } from "#daemon/link/hearing";
import type { SerialFraming } from "#shared/furnace";
import type { Proposal } from "#shared/listening";

/** What a port answered when it was asked. */
export interface AskedPort {
  /** Best first. */
  readonly proposals: readonly Proposal[];
  /** Who answered, in words. */
  readonly answers: readonly string[];
  /** The rates at which it was asked, in that order. */
  readonly baudRates: readonly number[];
}

/** How a port is asked. */
export interface AskRatesOptions {
  /** Null tries the likeliest ones. */
  readonly baudRate: number | null;
  readonly framing?: SerialFraming | undefined;
  readonly signal?: AbortSignal | undefined;
}

/**
 * Where instruments that are asked are found. A Modbus line has 19200 baud and even parity unless somebody
 * changed it (Modbus over Serial Line V1.02, 2.5.1 and 2.5.2); the other rates are common practice, no source.
 */
const USUAL_TUNINGS: readonly Tuning[] = [
  { baudRate: 9600, framing: "8N1" },
  { baudRate: 19_200, framing: "8E1" },
  { baudRate: 19_200, framing: "8N1" },
  { baudRate: 9600, framing: "8E1" },
  { baudRate: 115_200, framing: "8N1" },
];
/** At one rate, s: most of the usual questions can go unanswered; less is not worth a beginning. */
const SECONDS_AT_EACH = 4.5;
const LEAST_SECONDS = 2;

/**
 * Asks a silent port at the given or the likeliest rates, with questions that change nothing, until something
 * answers, the time is over, or nobody waits any longer.
 * @param untilSeconds moment of the monotonic clock
 * @throws DaemonError when the port cannot be opened any more
 */
export async function askRates(
  address: string,
  options: AskRatesOptions,
  untilSeconds: number,
  clock: Clock,
  sourceFor: typeof portSource,
): Promise<AskedPort> {
  const baudRates = new Set<number>();
  const openFor = options.signal ? endedBy(options.signal, sourceFor) : sourceFor;
  for (const tuning of tuningsOf(address, options)) {
    const left = untilSeconds - clock.monotonicSeconds();
    if (left < LEAST_SECONDS || options.signal?.aborted) break;
    const seconds = address.startsWith("tcp:") ? left : Math.min(left, SECONDS_AT_EACH);
    const { formats, heard, fault } = await askPort({
      address,
      ...tuning,
      clock,
      seconds,
      sourceFor: openFor,
    });
    if (fault && formats.length === 0 && !options.signal?.aborted) throw fault;
    baudRates.add(tuning.baudRate);
    if (formats.length === 0) continue;
    const proposals = formats.map(({ spec, preview }) => ({
      format: spec,
      ...tuning,
      isPolled: true,
      fits: 1,
      heard: 1,
      preview,
    }));
    return { proposals, answers: heard, baudRates: [...baudRates] };
  }
  return { proposals: [], answers: [], baudRates: [...baudRates] };
}

/** Opens sources that are lost as soon as nobody waits any longer, so that no question is asked after that. */
function endedBy(signal: AbortSignal, sourceFor: typeof portSource): typeof portSource {
  return async (address, options, clock) => {
    const source = await sourceFor(address, options, clock);
    let end = () => {};
    return {
      isRecording: source.isRecording,
      open: (events) => {
        end = () => events.lost(new DaemonError("conflict", `Nobody waits for ${address} any longer.`));
        signal.addEventListener("abort", end, { once: true });
        source.open(events);
        if (signal.aborted) end();
      },
      write: (bytes) => !signal.aborted && source.write(bytes),
      close: () => {
        signal.removeEventListener("abort", end);
        return source.close();
      },
    };
  };
}

function tuningsOf(address: string, { baudRate, framing }: AskRatesOptions): readonly Tuning[] {
  if (address.startsWith("tcp:")) return USUAL_TUNINGS.slice(0, 1);
  const framings = framing ? [framing] : (["8N1", "8E1"] as const);
  if (baudRate !== null) return framings.map((each) => ({ baudRate, framing: each }));
  if (!framing) return USUAL_TUNINGS;
  const rates = new Set(USUAL_TUNINGS.map((tuning) => tuning.baudRate));
  return [...rates].map((rate) => ({ baudRate: rate, framing }));
}
