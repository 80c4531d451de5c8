import { join } from "node:path";
import { performance } from "node:perf_hooks";
import { planFindings } from "#core/plan/findings";
import type { Plan } from "#core/plan/plan";
import { BenchFurnace, STEPS_PER_SECOND } from "#simulators/bench-furnace";
import { BenchLine } from "#simulators/bench-line";
import type { BenchCommand } from "#simulators/commands";
import { type Fault, FaultyPrinter } from "#simulators/faults";
import type { BenchOptions } from "#simulators/options";

/** Lines go out in batches, never more often than this. */
const SHORTEST_TICK_MILLISECONDS = 20;

/** A bench that slept longer than this goes on from where it was instead of catching up. */
const LONGEST_CATCH_UP_SECONDS = 2;

/** A vanished port comes back by itself after this time of the wall. */
const VANISHED_MILLISECONDS = 3000;

/** A furnace of the bench with all that hangs on it. */
interface Stand {
  readonly furnace: BenchFurnace;
  readonly printer: FaultyPrinter;
  readonly line: BenchLine;
  /** Lines printed since the start. */
  printedLines: number;
  restoring: NodeJS.Timeout | null;
}

/** A bench of simulated furnaces on virtual lines, at any speed. */
export class Bench {
  readonly #options: BenchOptions;
  readonly #stands: ReadonlyMap<string, Stand>;
  #speed: number;
  #simulatedSeconds = 0;
  /** Wall time up to which the simulation has come; null before `run`. */
  #wallSeconds: number | null = null;
  #timer: NodeJS.Timeout | null = null;

  private constructor(options: BenchOptions, stands: ReadonlyMap<string, Stand>) {
    this.#options = options;
    this.#speed = options.speed;
    this.#stands = stands;
  }

  /** Opens the lines of all furnaces; nothing is printed before `run`. */
  static async open(options: BenchOptions): Promise<Bench> {
    const stands = new Map<string, Stand>();
    for (let index = 0; index < options.furnaces; index += 1) {
      const id = `furnace-${index + 1}`;
      const seed = options.seed + index;
      const link = options.links === undefined ? null : join(options.links, id);
      stands.set(id, {
        furnace: new BenchFurnace({ seed, probe: { noiseKelvin: options.noise } }),
        printer: new FaultyPrinter(options.format, seed),
        line: await BenchLine.open(options.transport, link),
        printedLines: 0,
        restoring: null,
      });
    }
    return new Bench(options, stands);
  }

  /** Ids and ports, in order. */
  get ports(): { readonly furnace: string; readonly port: string }[] {
    return [...this.#stands].map(([furnace, { line }]) => ({ furnace, port: line.port }));
  }

  /** Lets time pass until `close`. */
  run(): void {
    this.#wallSeconds = wallSeconds();
    this.#tick();
  }

  /**
   * Does what somebody at the bench wants, at once.
   * @returns one line that says why not, or null when it was done
   */
  async perform(command: BenchCommand): Promise<string | null> {
    this.#catchUp();
    if ("speed" in command) {
      this.#speed = command.speed;
      if (this.#timer) this.#tick();
      return null;
    }
    const stand = this.#stands.get(command.furnace);
    if (!stand)
      return `Command refused: no furnace ${command.furnace}; there are ${[...this.#stands.keys()].join(", ")}`;
    if ("start" in command) return startRefusal(stand.furnace, command.furnace, command.start);
    if ("abort" in command) stand.furnace.abort();
    else if ("fault" in command) await this.#setFault(stand, command.fault);
    else if (command.door === "open") stand.furnace.openDoor();
    else stand.furnace.closeDoor();
    return null;
  }

  /** Stops the time and takes the lines away. */
  async close(): Promise<void> {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    for (const { line, restoring } of this.#stands.values()) {
      if (restoring) clearTimeout(restoring);
      await line.vanish();
    }
  }

  #tick(): void {
    if (this.#timer) clearTimeout(this.#timer);
    this.#catchUp();
    const untilNextLine = 1000 / (this.#speed * this.#options.hertz);
    this.#timer = setTimeout(() => this.#tick(), Math.max(SHORTEST_TICK_MILLISECONDS, untilNextLine / 4));
  }

  /** Prints every line that has come due. */
  #catchUp(): void {
    const now = wallSeconds();
    const elapsedSeconds = Math.min(now - (this.#wallSeconds ?? now), LONGEST_CATCH_UP_SECONDS);
    this.#simulatedSeconds += elapsedSeconds * this.#speed;
    this.#wallSeconds = this.#wallSeconds === null ? null : now;
    for (const stand of this.#stands.values()) {
      const batch: Buffer[] = [];
      for (
        let due = this.#lineSeconds(stand);
        due <= this.#simulatedSeconds;
        due = this.#lineSeconds(stand)
      ) {
        stand.furnace.advance(due);
        batch.push(stand.printer.bytes(stand.furnace.read()));
        stand.printedLines += 1;
      }
      stand.furnace.advance(this.#simulatedSeconds);
      stand.line.write(Buffer.concat(batch));
    }
  }

  /** When the next line of a furnace is due, on a whole step. */
  #lineSeconds({ printedLines }: Stand): number {
    return Math.round(((printedLines + 1) / this.#options.hertz) * STEPS_PER_SECOND) / STEPS_PER_SECOND;
  }

  async #setFault(stand: Stand, fault: Fault): Promise<void> {
    stand.printer.setFault(fault);
    if (fault !== "vanish") return stand.line.restore();
    this.#restoreLater(stand);
    await stand.line.vanish();
  }

  #restoreLater(stand: Stand): void {
    if (stand.restoring) clearTimeout(stand.restoring);
    stand.restoring = setTimeout(() => {
      if (stand.printer.fault !== "vanish") return;
      stand.line.restore().then(
        () => stand.printer.setFault("none"),
        () => this.#restoreLater(stand),
      );
    }, VANISHED_MILLISECONDS);
  }
}

function startRefusal(furnace: BenchFurnace, id: string, plan: Plan): string | null {
  const refusing = planFindings(plan).find((finding) => finding.refuses);
  if (refusing) return `Start refused on ${id}: ${refusing.sentence}`;
  return furnace.start(plan) ? null : `Start refused on ${id}: it is baking already`;
}

function wallSeconds(): number {
  return performance.now() / 1000;
}
