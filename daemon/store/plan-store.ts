import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import type { Database, Reader, Writer } from "#daemon/store/database";
import { type Card, cardSchema, type PlanRevision, planSchema } from "#shared/plan";

interface RevisionRow {
  readonly plan_id: number;
  readonly revision: number;
  readonly plan: string;
  readonly card: string | null;
  readonly saved_epoch_ms: number;
  readonly is_demonstration: number;
  readonly is_retired: number;
}

/** What stands in a card beside its plan. */
const besidePlanSchema = cardSchema.omit({ plan: true });

const REVISIONS = `SELECT plan_revisions.*, plans.is_demonstration, plans.is_retired
  FROM plan_revisions JOIN plans ON plans.id = plan_revisions.plan_id`;
const IS_NEWEST = "revision = (SELECT max(revision) FROM plan_revisions WHERE plan_id = plans.id)";

/** Plan cards and their revisions; a revision is never edited, a change is the next one. */
export class PlanStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /** The newest revision of every card, retired ones too, by plan id. */
  async newest(): Promise<PlanRevision[]> {
    const rows = await this.#database.all<RevisionRow>(`${REVISIONS} WHERE ${IS_NEWEST} ORDER BY plan_id`);
    return rows.map(revisionOf);
  }

  /** One revision, the newest unless one is named; undefined when there is none. */
  get(planId: number, revision?: number): Promise<PlanRevision | undefined> {
    return revisionIn(this.#database, planId, revision);
  }

  /** All revisions of a card, newest first; empty when there is no such card. */
  async revisions(planId: number): Promise<PlanRevision[]> {
    const rows = await this.#database.all<RevisionRow>(
      `${REVISIONS} WHERE plan_id = ? ORDER BY revision DESC`,
      [planId],
    );
    return rows.map(revisionOf);
  }

  /** Saves a new card as its first revision. */
  create(card: Card, isDemonstration: boolean): Promise<PlanRevision> {
    return this.#database.write((writer) => this.#addPlan(writer, card, isDemonstration));
  }

  /**
   * Saves a change of a card as its next revision.
   * @throws DaemonError `not-found` when there is no such card
   */
  revise(planId: number, card: Card): Promise<PlanRevision> {
    return this.#database.write(async (writer) => {
      const newest = await newestIn(writer, planId);
      return this.#addRevision(writer, card, { ...newest, revision: newest.revision + 1 });
    });
  }

  /**
   * Saves the newest revision of a card as a card of its own, under another name; it is the lab's then,
   * no demonstration.
   * @throws DaemonError `not-found` when there is no such card
   */
  copy(planId: number, name: string): Promise<PlanRevision> {
    return this.#database.write(async (writer) => {
      const newest = await newestIn(writer, planId);
      return this.#addPlan(writer, { ...newest, plan: { ...newest.plan, name } }, false);
    });
  }

  /**
   * Offers a card for new bakes no more, or again.
   * @throws DaemonError `not-found` when there is no such card
   */
  retire(planId: number, isRetired: boolean): Promise<PlanRevision> {
    return this.#database.write(async (writer) => {
      await writer.run("UPDATE plans SET is_retired = ? WHERE id = ?", [Number(isRetired), planId]);
      return newestIn(writer, planId);
    });
  }

  async #addPlan(writer: Writer, card: Card, isDemonstration: boolean): Promise<PlanRevision> {
    const { newId } = await writer.run("INSERT INTO plans (is_demonstration) VALUES (?)", [
      Number(isDemonstration),
    ]);
    return this.#addRevision(writer, card, { planId: newId, revision: 1, isDemonstration, isRetired: false });
  }

  async #addRevision(
    writer: Writer,
    { plan, adaptations, limits, materialId }: Card,
    {
      planId,
      revision,
      isDemonstration,
      isRetired,
    }: Omit<PlanRevision, keyof Card | "savedAtEpochMilliseconds">,
  ): Promise<PlanRevision> {
    const savedAtEpochMilliseconds = Math.round(this.#clock.epochMilliseconds());
    const besidePlan = { adaptations, limits, materialId };
    await writer.run(
      "INSERT INTO plan_revisions (plan_id, revision, plan, card, saved_epoch_ms) VALUES (?, ?, ?, ?, ?)",
      [planId, revision, JSON.stringify(plan), JSON.stringify(besidePlan), savedAtEpochMilliseconds],
    );
    return { planId, revision, plan, ...besidePlan, savedAtEpochMilliseconds, isDemonstration, isRetired };
  }
}

async function newestIn(reader: Reader, planId: number): Promise<PlanRevision> {
  const newest = await revisionIn(reader, planId);
  if (newest) return newest;
  throw new DaemonError("not-found", `There is no plan ${planId}. Look in Plans for those there are.`);
}

async function revisionIn(
  reader: Reader,
  planId: number,
  revision?: number,
): Promise<PlanRevision | undefined> {
  const row =
    revision === undefined
      ? await reader.first<RevisionRow>(`${REVISIONS} WHERE plan_id = ? AND ${IS_NEWEST}`, [planId])
      : await reader.first<RevisionRow>(`${REVISIONS} WHERE plan_id = ? AND revision = ?`, [
          planId,
          revision,
        ]);
  return row && revisionOf(row);
}

function revisionOf(row: RevisionRow): PlanRevision {
  return {
    planId: row.plan_id,
    revision: row.revision,
    plan: planSchema.parse(JSON.parse(row.plan)),
    ...besidePlanSchema.parse(JSON.parse(row.card ?? "{}")),
    savedAtEpochMilliseconds: row.saved_epoch_ms,
    isDemonstration: row.is_demonstration === 1,
    isRetired: row.is_retired === 1,
  };
}
