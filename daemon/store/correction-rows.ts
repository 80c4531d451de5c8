import type { Reader, Writer } from "#daemon/store/database";
import { type ProbeCorrection, probeCorrectionSchema } from "#shared/probe";

/** How a furnace's correction changed. */
export type CorrectionChangeKind = "accepted" | "withdrawn" | "type-changed";

/** A change to be written down. */
export interface CorrectionRow {
  readonly furnaceId: string;
  readonly kind: CorrectionChangeKind;
  /** The check that was accepted, or whose correction ended. */
  readonly checkId: number;
  readonly by: string | null;
  readonly atEpochMilliseconds: number;
  /** In force from then on; null when nothing is added any more. */
  readonly correction: ProbeCorrection | null;
}

/** For a query over `furnaces`: the correction in force, as JSON or null. */
export const CORRECTION_IN_FORCE = `(SELECT correction FROM corrections
  WHERE corrections.furnace_id = furnaces.id ORDER BY corrections.id DESC LIMIT 1)`;

/** The correction in force on a furnace; null when nothing is added. */
export async function correctionInForce(reader: Reader, furnaceId: string): Promise<ProbeCorrection | null> {
  const row = await reader.first<{ correction: string | null }>(
    "SELECT correction FROM corrections WHERE furnace_id = ? ORDER BY id DESC LIMIT 1",
    [furnaceId],
  );
  return correctionOf(row?.correction ?? null);
}

/** Writes a change down; from then on it is in force. */
export async function addCorrectionRow(writer: Writer, row: CorrectionRow): Promise<void> {
  await writer.run(
    `INSERT INTO corrections (furnace_id, changed_epoch_ms, kind, check_id, changed_by, correction)
     VALUES (?, ?, ?, ?, ?, ?)`,
    [
      row.furnaceId,
      Math.round(row.atEpochMilliseconds),
      row.kind,
      row.checkId,
      row.by,
      row.correction && JSON.stringify(row.correction),
    ],
  );
}

/** A correction as it was kept. */
export function correctionOf(json: string | null): ProbeCorrection | null {
  return json === null ? null : probeCorrectionSchema.parse(JSON.parse(json));
}
