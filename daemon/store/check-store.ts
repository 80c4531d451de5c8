import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import {
  addCorrectionRow,
  type CorrectionChangeKind,
  correctionInForce,
  correctionOf,
} from "#daemon/store/correction-rows";
import type { Database } from "#daemon/store/database";
import { type Check, checkRequestSchema, checkResultSchema } from "#shared/check";
import type { ProbeCorrection, ThermocoupleType } from "#shared/probe";

/** A check to be kept. */
export interface NewCheck {
  readonly furnaceId: string;
  /** The thermocouple that was checked; null when nobody said its type. */
  readonly thermocoupleType: ThermocoupleType | null;
  readonly request: Check["request"];
  readonly result: Check["result"];
}

/** A check with the thermocouple that it was made of. */
export interface KeptCheck {
  readonly check: Check;
  readonly thermocoupleType: ThermocoupleType | null;
}

/** A change of what is added to a furnace's readings, as it was written down. */
export interface CorrectionChange {
  readonly atEpochMilliseconds: number;
  /** `type-changed`: withdrawn because the furnace was given another type of thermocouple. */
  readonly kind: CorrectionChangeKind;
  readonly checkId: number;
  readonly by: string | null;
  /** In force from then on; null when nothing is added any more. */
  readonly correction: ProbeCorrection | null;
}

interface CheckRow {
  readonly id: number;
  readonly furnace_id: string;
  readonly checked_epoch_ms: number;
  readonly thermocouple_type: ThermocoupleType | null;
  readonly request: string;
  readonly result: string;
  readonly accepted_epoch_ms: number | null;
  readonly accepted_by: string | null;
}

interface CorrectionChangeRow {
  readonly changed_epoch_ms: number;
  readonly kind: CorrectionChangeKind;
  readonly check_id: number;
  readonly changed_by: string | null;
  readonly correction: string | null;
}

/** Checks, each with its newest acceptance. */
const CHECKS = `SELECT checks.*, accepted.changed_epoch_ms AS accepted_epoch_ms, accepted.changed_by AS accepted_by
  FROM checks LEFT JOIN corrections AS accepted ON accepted.id =
    (SELECT max(id) FROM corrections WHERE check_id = checks.id AND kind = 'accepted')`;

/** Checks of probes, and what was made of them. A check is never edited, and no change of a correction lost. */
export class CheckStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /** Keeps a check; nothing is corrected by it until somebody accepts it. */
  async add({ furnaceId, thermocoupleType, request, result }: NewCheck): Promise<Check> {
    const checkedAtEpochMilliseconds = Math.round(this.#clock.epochMilliseconds());
    const { newId } = await this.#database.write((writer) =>
      writer.run(
        "INSERT INTO checks (furnace_id, checked_epoch_ms, thermocouple_type, request, result) VALUES (?, ?, ?, ?, ?)",
        [
          furnaceId,
          checkedAtEpochMilliseconds,
          thermocoupleType,
          JSON.stringify(request),
          JSON.stringify(result),
        ],
      ),
    );
    return { id: newId, furnaceId, checkedAtEpochMilliseconds, request, result, accepted: null };
  }

  /** The checks of a furnace, newest first. */
  async list(furnaceId: string): Promise<Check[]> {
    const rows = await this.#database.all<CheckRow>(
      `${CHECKS} WHERE checks.furnace_id = ? ORDER BY checks.id DESC`,
      [furnaceId],
    );
    return rows.map(checkOf);
  }

  /** A check of a furnace; undefined when that furnace has none of that number. */
  async get(furnaceId: string, checkId: number): Promise<KeptCheck | undefined> {
    const row = await this.#database.first<CheckRow>(
      `${CHECKS} WHERE checks.id = ? AND checks.furnace_id = ?`,
      [checkId, furnaceId],
    );
    return row && { check: checkOf(row), thermocoupleType: row.thermocouple_type };
  }

  /**
   * Puts the correction of a check in force.
   * @throws DaemonError `conflict` when it is in force already
   */
  async accept({ id, furnaceId, result }: Check, by: string | null): Promise<ProbeCorrection> {
    const atEpochMilliseconds = Math.round(this.#clock.epochMilliseconds());
    const correction: ProbeCorrection = {
      checkId: id,
      acceptedAtEpochMilliseconds: atEpochMilliseconds,
      acceptedBy: by,
      points: result.correction,
      expandedUncertaintyKelvin: result.expandedUncertaintyKelvin,
      coverageFactor: result.coverageFactor,
    };
    await this.#database.write(async (writer) => {
      if ((await correctionInForce(writer, furnaceId))?.checkId === id)
        throw new DaemonError("conflict", `Check ${id} is accepted already: its correction is in force.`);
      await addCorrectionRow(writer, {
        furnaceId,
        kind: "accepted",
        checkId: id,
        by,
        atEpochMilliseconds,
        correction,
      });
    });
    return correction;
  }

  /**
   * Ends the correction of a furnace: from then on nothing is added.
   * @throws DaemonError `conflict` when there is none
   */
  async withdraw(furnaceId: string, by: string | null): Promise<void> {
    await this.#database.write(async (writer) => {
      const inForce = await correctionInForce(writer, furnaceId);
      if (!inForce)
        throw new DaemonError("conflict", "No correction is in force on this furnace: nothing to withdraw.");
      await addCorrectionRow(writer, {
        furnaceId,
        kind: "withdrawn",
        checkId: inForce.checkId,
        by,
        atEpochMilliseconds: this.#clock.epochMilliseconds(),
        correction: null,
      });
    });
  }

  /** Every change of a furnace's correction, in order. */
  async corrections(furnaceId: string): Promise<CorrectionChange[]> {
    const rows = await this.#database.all<CorrectionChangeRow>(
      "SELECT * FROM corrections WHERE furnace_id = ? ORDER BY id",
      [furnaceId],
    );
    return rows.map((row) => ({
      atEpochMilliseconds: row.changed_epoch_ms,
      kind: row.kind,
      checkId: row.check_id,
      by: row.changed_by,
      correction: correctionOf(row.correction),
    }));
  }
}

function checkOf(row: CheckRow): Check {
  return {
    id: row.id,
    furnaceId: row.furnace_id,
    checkedAtEpochMilliseconds: row.checked_epoch_ms,
    request: checkRequestSchema.parse(JSON.parse(row.request)),
    result: checkResultSchema.parse(JSON.parse(row.result)),
    accepted:
      row.accepted_epoch_ms === null
        ? null
        : { atEpochMilliseconds: row.accepted_epoch_ms, by: row.accepted_by },
  };
}
