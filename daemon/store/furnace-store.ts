import type { Clock } from "#daemon/clock";
import {
  addCorrectionRow,
  CORRECTION_IN_FORCE,
  correctionInForce,
  correctionOf,
} from "#daemon/store/correction-rows";
import type { Database, Writer } from "#daemon/store/database";
import type { Furnace } from "#shared/furnace";
import { type ProbeSettings, probeSettingsSchema, UNKNOWN_PROBE } from "#shared/probe";

interface FurnaceRow {
  readonly id: string;
  readonly name: string;
  readonly port: string | null;
  readonly baud_rate: number;
  readonly framing: Furnace["framing"];
  readonly format: string;
  readonly probe: string | null;
  readonly correction: string | null;
  readonly check_due_epoch_ms: number | null;
  readonly is_demonstration: number;
}

const FURNACES = `SELECT furnaces.*, ${CORRECTION_IN_FORCE} AS correction FROM furnaces`;

/** The furnaces of the lab, as kept. */
export class FurnaceStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /** All of them, by id. */
  async list(): Promise<Furnace[]> {
    return (await this.#database.all<FurnaceRow>(`${FURNACES} ORDER BY id`)).map(furnaceOf);
  }

  /** One of them; undefined when there is none of that id. */
  async get(id: string): Promise<Furnace | undefined> {
    const row = await this.#database.first<FurnaceRow>(`${FURNACES} WHERE id = ?`, [id]);
    return row && furnaceOf(row);
  }

  /**
   * Adds a furnace, or replaces what is known of it. Its correction is none of that: only a check that
   * somebody accepts makes one. It ends here when the furnace gets another type of thermocouple.
   * @returns the furnace as it is kept now
   */
  save(furnace: Furnace): Promise<Furnace> {
    return this.change(furnace.id, () => furnace);
  }

  /**
   * The same out of what is kept at that moment, so that of two changes at once neither undoes the other.
   * @param next is given undefined when there is no furnace of that id, and throws when it needs one
   */
  change(id: string, next: (kept: Furnace | undefined) => Furnace): Promise<Furnace> {
    return this.#database.write(async (writer) => {
      const row = await writer.first<FurnaceRow>(`${FURNACES} WHERE id = ?`, [id]);
      const kept = row && furnaceOf(row);
      const furnace = { ...next(kept), id };
      const isOfOtherType = kept !== undefined && kept.probe.type !== furnace.probe.type;
      if (isOfOtherType) await this.#endCorrection(writer, id);
      await writeRow(writer, furnace);
      return { ...furnace, probe: { ...furnace.probe, correction: await correctionInForce(writer, id) } };
    });
  }

  async #endCorrection(writer: Writer, furnaceId: string): Promise<void> {
    const inForce = await correctionInForce(writer, furnaceId);
    if (!inForce) return;
    await addCorrectionRow(writer, {
      furnaceId,
      kind: "type-changed",
      checkId: inForce.checkId,
      by: null,
      atEpochMilliseconds: this.#clock.epochMilliseconds(),
      correction: null,
    });
  }
}

async function writeRow(writer: Writer, furnace: Furnace): Promise<void> {
  const { id, name, port, baudRate, framing, format, probe, isDemonstration } = furnace;
  await writer.run(
    `INSERT INTO furnaces (id, name, port, baud_rate, framing, format, probe, check_due_epoch_ms, is_demonstration)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)
     ON CONFLICT (id) DO UPDATE SET name = excluded.name, port = excluded.port,
       baud_rate = excluded.baud_rate, framing = excluded.framing, format = excluded.format,
       probe = excluded.probe, check_due_epoch_ms = excluded.check_due_epoch_ms,
       is_demonstration = excluded.is_demonstration`,
    [
      id,
      name,
      port,
      baudRate,
      framing,
      format,
      JSON.stringify(probeSettingsSchema.parse(probe)),
      furnace.checkDueEpochMilliseconds,
      Number(isDemonstration),
    ],
  );
}

function furnaceOf(row: FurnaceRow): Furnace {
  const { id, name, port, framing, format } = row;
  return {
    id,
    name,
    port,
    baudRate: row.baud_rate,
    framing,
    format,
    probe: { ...settingsOf(row.probe), correction: correctionOf(row.correction) },
    checkDueEpochMilliseconds: row.check_due_epoch_ms,
    isDemonstration: row.is_demonstration === 1,
  };
}

function settingsOf(json: string | null): ProbeSettings {
  return probeSettingsSchema.parse(json === null ? UNKNOWN_PROBE : JSON.parse(json));
}
