import { join } from "node:path";
import { performance } from "node:perf_hooks";
import { planFindings } from "#core/plan/findings";
import type { Plan } from "#core/plan/plan";
import type { BenchFurnace } from "#simulators/bench-furnace";
import { BenchLine } from "#simulators/bench-line";
import type { BenchCommand } from "#simulators/commands";
import { Delayed } from "#simulators/delayed";
import type { Fault } from "#simulators/faults";
import type { InstrumentReading } from "#simulators/instrument-reading";
import { type LineFormat, printedLine } from "#simulators/line-printer";
import { type BenchOptions, isPolled } from "#simulators/options";
import { PolledLine } from "#simulators/polled-line";
import { Stand } from "#simulators/stand";

/** Lines go out in batches, never more often than this. */
const SHORTEST_TICK_MILLISECONDS = 20;

/** A bench that slept longer than this goes on from where it was instead of catching up. */
const LONGEST_CATCH_UP_SECONDS = 2;

/** A vanished port comes back by itself after this time of the wall. */
const VANISHED_MILLISECONDS = 3000;

/** The name of the line that all furnaces share. */
const BUS_NAME = "bus";

/** A furnace of the bench and the line on which it speaks, perhaps with others. */
interface Seat {
  readonly stand: Stand;
  readonly line: BenchLine;
  /** What is said on it later than it should be. */
  readonly delayed: Delayed;
  restoring: NodeJS.Timeout | null;
}

/** A bench of simulated furnaces on virtual lines, at any speed. */
export class Bench {
  readonly #options: BenchOptions;
  readonly #seats: ReadonlyMap<string, Seat>;
  #speed: number;
  #simulatedSeconds = 0;
  /** Wall time up to which the simulation has come; null before `run`. */
  #wallSeconds: number | null = null;
  #timer: NodeJS.Timeout | null = null;

  private constructor(options: BenchOptions, seats: ReadonlyMap<string, Seat>) {
    this.#options = options;
    this.#speed = options.speed;
    this.#seats = seats;
  }

  /** Opens the lines of all furnaces; nothing is printed before `run`. */
  static async open(options: BenchOptions): Promise<Bench> {
    const seats = new Map<string, Seat>();
    const stands = Array.from(
      { length: options.furnaces },
      (_, index) => new Stand(options.seed + index, options),
    );
    const groups = options.bus === "shared" ? [stands] : stands.map((stand) => [stand]);
    for (const group of groups) {
      const name = options.bus === "shared" ? BUS_NAME : furnaceId(seats.size);
      const line = await openLine(options, name);
      const delayed = new Delayed();
      answerOn(line, delayed, options, group);
      for (const stand of group) seats.set(furnaceId(seats.size), { stand, line, delayed, restoring: null });
    }
    return new Bench(options, seats);
  }

  /** Ids and ports, in order. */
  get ports(): { readonly furnace: string; readonly port: string }[] {
    return [...this.#seats].map(([furnace, { line }]) => ({ furnace, port: line.port }));
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
    const seat = this.#seats.get(command.furnace);
    if (!seat)
      return `Command refused: no furnace ${command.furnace}; there are ${[...this.#seats.keys()].join(", ")}`;
    const { furnace } = seat.stand;
    if ("start" in command) return startRefusal(furnace, command.furnace, command.start);
    if ("abort" in command) furnace.abort();
    else if ("fault" in command) await this.#setFault(seat, command.fault);
    else if ("wire" in command) furnace.hangWire(command.wire === "none" ? null : command.wire);
    else if (command.door === "open") furnace.openDoor();
    else furnace.closeDoor();
    return null;
  }

  /** Stops the time and takes the lines away. */
  async close(): Promise<void> {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    for (const { line, delayed, restoring } of this.#seats.values()) {
      if (restoring) clearTimeout(restoring);
      delayed.clear();
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
    const { format } = this.#options;
    for (const { stand, line, delayed } of this.#seats.values()) {
      const readings = stand.advance(this.#simulatedSeconds);
      if (isPolled(format)) continue;
      const bytes = Buffer.concat(readings.map((reading) => printed(stand, reading, format)));
      delayed.after(stand.line.delayMilliseconds, () => line.write(bytes));
    }
  }

  async #setFault(seat: Seat, fault: Fault): Promise<void> {
    seat.stand.setFault(fault);
    if (fault !== "vanish") return seat.line.restore();
    this.#restoreLater(seat);
    await seat.line.vanish();
  }

  #restoreLater(seat: Seat): void {
    if (seat.restoring) clearTimeout(seat.restoring);
    seat.restoring = setTimeout(() => {
      if (seat.stand.fault !== "vanish") return;
      seat.line.restore().then(
        () => seat.stand.setFault("none"),
        () => this.#restoreLater(seat),
      );
    }, VANISHED_MILLISECONDS);
  }
}

function furnaceId(index: number): string {
  return `furnace-${index + 1}`;
}

function openLine({ format, transport, links, baud }: BenchOptions, name: string): Promise<BenchLine> {
  return BenchLine.open({
    transport: format === "modbus-tcp" ? "tcp" : transport,
    linkPath: links === undefined ? null : join(links, name),
    baud: baud ?? null,
  });
}

/** Lets the furnaces on a line answer there under their numbers, where they speak only when asked. */
function answerOn(
  line: BenchLine,
  delayed: Delayed,
  { format }: BenchOptions,
  stands: readonly Stand[],
): void {
  if (!isPolled(format)) return;
  const units = new Map(stands.map((stand, index) => [index + 1, stand]));
  const polled = new PolledLine(format, units, (answer, unit, caller) =>
    delayed.after(unit.line.delayMilliseconds, () => line.reply(answer, caller)),
  );
  line.onInput((bytes, caller) => polled.hear(bytes, caller));
}

function printed({ line }: Stand, reading: InstrumentReading, format: LineFormat): Buffer {
  return line.spoiled(Buffer.from(printedLine(reading, format)));
}

function startRefusal(furnace: BenchFurnace, id: string, plan: Plan): string | null {
  const refusing = planFindings(plan).find((finding) => finding.refuses);
  if (refusing) return `Start refused on ${id}: ${refusing.sentence}`;
  return furnace.start(plan) ? null : `Start refused on ${id}: it is baking already`;
}

function wallSeconds(): number {
  return performance.now() / 1000;
}
