import type { Clock } from "#daemon/clock";
import { Link, type LinkOptions } from "#daemon/link/link";
import { PolledPorts } from "#daemon/link/polled/polled-port";
import type { Reading } from "#daemon/link/reading";
import { type ProbeHealth, WELL } from "#daemon/measuring/probe-health";
import type { Furnace, FurnaceStatus, LatestReading, LinkStatus } from "#shared/furnace";

/** Channels that come on lines of their own are shown beside the temperature for so long, s. */
const BESIDE_SECONDS = 3;

/** The part of a link that is used here. */
export type FurnaceLink = Pick<Link, "start" | "close" | "status">;

/** What the lines of the lab need. */
export interface FurnaceLinesParts {
  readonly clock: Clock;
  /** Takes what was heard; gives it back as it is measured: °C corrected, or none. */
  readonly onReading: (reading: Reading) => Reading;
  /** Something of a furnace changed: its line, its newest reading. */
  readonly onChange: (furnaceId: string) => void;
  /** What is not well with a line, each time that this changes. */
  readonly onTrouble: (furnaceId: string, message: string) => void;
  readonly openBakeId: (furnaceId: string) => number | null;
  readonly probeHealth: (furnaceId: string) => ProbeHealth;
  /** Opens a line; a `Link`, or a `PolledLink` for an instrument that is asked, unless something else is given. */
  readonly linkFor?: (options: LinkOptions) => FurnaceLink;
}

type Beside = Omit<LatestReading["sample"], "celsius">;

interface Line {
  furnace: Furnace;
  readonly link: FurnaceLink | null;
  readonly absentSinceEpochMilliseconds: number;
  latest: LatestReading | null;
  beside: { readonly channels: Beside; readonly atSeconds: number } | null;
}

/** The furnaces of the lab, each with its line and what was last heard on it. */
export class FurnaceLines {
  readonly #parts: FurnaceLinesParts;
  readonly #lines = new Map<string, Line>();
  readonly #polledPorts = new PolledPorts();

  constructor(parts: FurnaceLinesParts) {
    this.#parts = parts;
  }

  /** Adds a furnace or changes it; its line is closed and opened anew, as it is described now. */
  async set(furnace: Furnace): Promise<void> {
    const before = this.#lines.get(furnace.id);
    const link = this.#linkFor(furnace);
    this.#lines.set(furnace.id, {
      furnace,
      link,
      absentSinceEpochMilliseconds: this.#parts.clock.epochMilliseconds(),
      latest: before?.furnace.port === furnace.port ? before.latest : null,
      beside: null,
    });
    await before?.link?.close();
    link?.start();
    this.#parts.onChange(furnace.id);
  }

  /** What is known of a furnace changed, but not where and how it is heard: its line goes on. */
  describe(furnace: Furnace): void {
    const line = this.#lines.get(furnace.id);
    if (line) line.furnace = furnace;
    this.#parts.onChange(furnace.id);
  }

  /** What is known of a furnace; undefined when there is none of that id. */
  furnace(furnaceId: string): Furnace | undefined {
    return this.#lines.get(furnaceId)?.furnace;
  }

  /**
   * Lets go of the lines of some furnaces while something else uses their port; then they are opened again, as
   * they are described by then.
   */
  async without<Result>(furnaceIds: readonly string[], work: () => Promise<Result>): Promise<Result> {
    const paused = furnaceIds.flatMap((id) => this.#lines.get(id) ?? []);
    try {
      await Promise.all(paused.map(({ link }) => link?.close()));
      return await work();
    } finally {
      for (const line of paused) if (this.#lines.get(line.furnace.id) === line) await this.set(line.furnace);
    }
  }

  /** All furnaces, by id. */
  statuses(): FurnaceStatus[] {
    return [...this.#lines.values()]
      .sort((a, b) => a.furnace.id.localeCompare(b.furnace.id, "en", { numeric: true }))
      .map((line) => this.#statusOf(line));
  }

  /** One furnace; undefined when there is none of that id. */
  status(furnaceId: string): FurnaceStatus | undefined {
    const line = this.#lines.get(furnaceId);
    return line && this.#statusOf(line);
  }

  /** Closes every line. */
  async close(): Promise<void> {
    await Promise.all([...this.#lines.values()].map(({ link }) => link?.close()));
  }

  #linkFor(furnace: Furnace): FurnaceLink | null {
    if (furnace.port === null) return null;
    let told: string | null = null;
    const { clock, onChange, onTrouble } = this.#parts;
    const linkFor =
      this.#parts.linkFor ?? ((options) => this.#polledPorts.linkFor(options) ?? new Link(options));
    return linkFor({
      furnaceId: furnace.id,
      address: furnace.port,
      baudRate: furnace.baudRate,
      framing: furnace.framing,
      format: furnace.format,
      clock,
      onReading: (reading) => this.#hear(reading),
      onStatus: ({ message }) => {
        if (message !== null && message !== told) onTrouble(furnace.id, message);
        told = message ?? told;
        onChange(furnace.id);
      },
    });
  }

  #hear(heard: Reading): void {
    const reading = this.#parts.onReading(heard);
    const line = this.#lines.get(reading.furnaceId);
    if (!line) return;
    const { celsius, millivolts, hectopascals, coldJunctionCelsius, heaterDutyFraction, receivedAtSeconds } =
      reading;
    const isRecent = line.beside && receivedAtSeconds - line.beside.atSeconds <= BESIDE_SECONDS;
    const channels: Beside = {
      ...(isRecent && line.beside?.channels),
      ...(hectopascals !== undefined && { hectopascals }),
      ...(coldJunctionCelsius !== undefined && { coldJunctionCelsius }),
      ...(heaterDutyFraction !== undefined && { heaterDutyFraction }),
    };
    if (hectopascals !== undefined || coldJunctionCelsius !== undefined || heaterDutyFraction !== undefined)
      line.beside = { channels, atSeconds: receivedAtSeconds };
    if (celsius === undefined) {
      if (millivolts !== undefined || reading.sensorWord !== undefined)
        this.#parts.onChange(reading.furnaceId);
      return;
    }
    line.latest = {
      sample: { celsius, ...(millivolts !== undefined && { millivolts }), ...channels },
      receivedAtEpochMilliseconds: reading.receivedAtEpochMilliseconds,
    };
    this.#parts.onChange(reading.furnaceId);
  }

  #statusOf({ furnace, link, latest, absentSinceEpochMilliseconds }: Line): FurnaceStatus {
    const status = link?.status ?? noLink(absentSinceEpochMilliseconds);
    const { faults, message } = link ? this.#parts.probeHealth(furnace.id) : WELL;
    return {
      furnace,
      link: { ...status, message: status.message ?? message },
      latest,
      sensorFaults: [...faults],
      openBakeId: this.#parts.openBakeId(furnace.id),
    };
  }
}

function noLink(sinceEpochMilliseconds: number): LinkStatus {
  return {
    kind: "absent",
    sinceEpochMilliseconds,
    message: "No port is chosen for this furnace yet. Choose one in Upkeep.",
    acceptedLines: 0,
    refusedLines: 0,
    overlongLines: 0,
    unanswered: 0,
    lastRefusedLine: null,
    format: null,
  };
}
