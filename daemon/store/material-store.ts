import { isDeepStrictEqual } from "node:util";
import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import type { Database, Reader, Writer } from "#daemon/store/database";
import { type Material, type MaterialRevision, materialSchema } from "#shared/material";

interface RevisionRow {
  readonly material_id: number;
  readonly revision: number;
  readonly material: string;
  readonly saved_epoch_ms: number;
  readonly is_demonstration: number;
  readonly is_retired: number;
}

const REVISIONS = `SELECT material_revisions.*, materials.is_demonstration, materials.is_retired
  FROM material_revisions JOIN materials ON materials.id = material_revisions.material_id`;
const IS_NEWEST =
  "revision = (SELECT max(revision) FROM material_revisions WHERE material_id = materials.id)";

/** Materials and their revisions; a revision is never edited, a change is the next one. */
export class MaterialStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /** The newest revision of every material, retired ones too, by material id. */
  newest(): Promise<MaterialRevision[]> {
    return newestIn(this.#database);
  }

  /** The newest revision of a material; undefined when there is none of that id. */
  get(materialId: number): Promise<MaterialRevision | undefined> {
    return revisionIn(this.#database, materialId);
  }

  /** All revisions of a material, newest first; empty when there is no such material. */
  async revisions(materialId: number): Promise<MaterialRevision[]> {
    const rows = await this.#database.all<RevisionRow>(
      `${REVISIONS} WHERE material_id = ? ORDER BY revision DESC`,
      [materialId],
    );
    return rows.map(revisionOf);
  }

  /** Saves a new material as its first revision. */
  create(material: Material, isDemonstration: boolean): Promise<MaterialRevision> {
    return this.#database.write((writer) => this.#addMaterial(writer, material, isDemonstration));
  }

  /** The material that is the same in everything, one in use before a retired one; a new one where none is. */
  sameOrNew(material: Material): Promise<MaterialRevision> {
    return this.#database.write(async (writer) => {
      const same = (await newestIn(writer)).filter((kept) => isDeepStrictEqual(kept.material, material));
      return (
        same.find(({ isRetired }) => !isRetired) ?? same[0] ?? this.#addMaterial(writer, material, false)
      );
    });
  }

  /**
   * Saves a change of a material as its next revision.
   * @throws DaemonError `not-found` when there is no such material
   */
  revise(materialId: number, material: Material): Promise<MaterialRevision> {
    return this.#database.write(async (writer) => {
      const newest = await knownIn(writer, materialId);
      return this.#addRevision(writer, { ...newest, material, revision: newest.revision + 1 });
    });
  }

  /**
   * Offers a material no more, or again.
   * @throws DaemonError `not-found` when there is no such material
   */
  retire(materialId: number, isRetired: boolean): Promise<MaterialRevision> {
    return this.#database.write(async (writer) => {
      await writer.run("UPDATE materials SET is_retired = ? WHERE id = ?", [Number(isRetired), materialId]);
      return knownIn(writer, materialId);
    });
  }

  async #addMaterial(
    writer: Writer,
    material: Material,
    isDemonstration: boolean,
  ): Promise<MaterialRevision> {
    const { newId } = await writer.run("INSERT INTO materials (is_demonstration) VALUES (?)", [
      Number(isDemonstration),
    ]);
    return this.#addRevision(writer, {
      materialId: newId,
      revision: 1,
      material,
      isDemonstration,
      isRetired: false,
    });
  }

  async #addRevision(
    writer: Writer,
    revision: Omit<MaterialRevision, "savedAtEpochMilliseconds">,
  ): Promise<MaterialRevision> {
    const savedAtEpochMilliseconds = Math.round(this.#clock.epochMilliseconds());
    await writer.run(
      "INSERT INTO material_revisions (material_id, revision, material, saved_epoch_ms) VALUES (?, ?, ?, ?)",
      [revision.materialId, revision.revision, JSON.stringify(revision.material), savedAtEpochMilliseconds],
    );
    return { ...revision, savedAtEpochMilliseconds };
  }
}

async function newestIn(reader: Reader): Promise<MaterialRevision[]> {
  const rows = await reader.all<RevisionRow>(`${REVISIONS} WHERE ${IS_NEWEST} ORDER BY material_id`);
  return rows.map(revisionOf);
}

async function knownIn(reader: Reader, materialId: number): Promise<MaterialRevision> {
  const newest = await revisionIn(reader, materialId);
  if (newest) return newest;
  throw new DaemonError(
    "not-found",
    `There is no material ${materialId}. Save it as a new material instead.`,
  );
}

async function revisionIn(reader: Reader, materialId: number): Promise<MaterialRevision | undefined> {
  const row = await reader.first<RevisionRow>(`${REVISIONS} WHERE material_id = ? AND ${IS_NEWEST}`, [
    materialId,
  ]);
  return row && revisionOf(row);
}

function revisionOf(row: RevisionRow): MaterialRevision {
  return {
    materialId: row.material_id,
    revision: row.revision,
    material: materialSchema.parse(JSON.parse(row.material)),
    savedAtEpochMilliseconds: row.saved_epoch_ms,
    isDemonstration: row.is_demonstration === 1,
    isRetired: row.is_retired === 1,
  };
}
