import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import type { Database, Writer } from "#daemon/store/database";
import { type Plan, type PlanRevision, planSchema } from "#shared/plan";

interface RevisionRow {
  readonly plan_id: number;
  readonly revision: number;
  readonly plan: string;
  readonly saved_epoch_ms: number;
  readonly is_demonstration: number;
}

const REVISIONS = `SELECT plan_revisions.*, plans.is_demonstration
  FROM plan_revisions JOIN plans ON plans.id = plan_revisions.plan_id`;
const IS_NEWEST = "revision = (SELECT max(revision) FROM plan_revisions WHERE plan_id = plans.id)";

/** Plans and their revisions; a revision is never edited, a change is the next one. */
export class PlanStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /** The newest revision of every plan, by plan id. */
  async newest(): Promise<PlanRevision[]> {
    const rows = await this.#database.all<RevisionRow>(`${REVISIONS} WHERE ${IS_NEWEST} ORDER BY plan_id`);
    return rows.map(revisionOf);
  }

  /** One revision, the newest unless one is named; undefined when there is none. */
  async get(planId: number, revision?: number): Promise<PlanRevision | undefined> {
    const row =
      revision === undefined
        ? await this.#database.first<RevisionRow>(`${REVISIONS} WHERE plan_id = ? AND ${IS_NEWEST}`, [planId])
        : await this.#database.first<RevisionRow>(`${REVISIONS} WHERE plan_id = ? AND revision = ?`, [
            planId,
            revision,
          ]);
    return row && revisionOf(row);
  }

  /** Saves a new plan as its first revision. */
  create(plan: Plan, isDemonstration: boolean): Promise<PlanRevision> {
    return this.#database.write(async (writer) => {
      const { newId } = await writer.run("INSERT INTO plans (is_demonstration) VALUES (?)", [
        Number(isDemonstration),
      ]);
      return this.#addRevision(writer, plan, { planId: newId, revision: 1, isDemonstration });
    });
  }

  /**
   * Saves a change of a plan as its next revision.
   * @throws DaemonError `not-found` when there is no such plan
   */
  revise(planId: number, plan: Plan): Promise<PlanRevision> {
    return this.#database.write(async (writer) => {
      const newest = await writer.first<{ revision: number; is_demonstration: number }>(
        "SELECT revision, is_demonstration FROM plan_revisions JOIN plans ON plans.id = plan_id WHERE plan_id = ? ORDER BY revision DESC LIMIT 1",
        [planId],
      );
      if (!newest)
        throw new DaemonError("not-found", `There is no plan ${planId}. Save it as a new plan instead.`);
      return this.#addRevision(writer, plan, {
        planId,
        revision: newest.revision + 1,
        isDemonstration: newest.is_demonstration === 1,
      });
    });
  }

  async #addRevision(
    writer: Writer,
    plan: Plan,
    place: Pick<PlanRevision, "planId" | "revision" | "isDemonstration">,
  ): Promise<PlanRevision> {
    const savedAtEpochMilliseconds = Math.round(this.#clock.epochMilliseconds());
    await writer.run(
      "INSERT INTO plan_revisions (plan_id, revision, plan, saved_epoch_ms) VALUES (?, ?, ?, ?)",
      [place.planId, place.revision, JSON.stringify(plan), savedAtEpochMilliseconds],
    );
    return { ...place, plan, savedAtEpochMilliseconds };
  }
}

/** A plan as it was kept. */
export function planOf(json: string): Plan {
  return planSchema.parse(JSON.parse(json));
}

function revisionOf(row: RevisionRow): PlanRevision {
  return {
    planId: row.plan_id,
    revision: row.revision,
    plan: planOf(row.plan),
    savedAtEpochMilliseconds: row.saved_epoch_ms,
    isDemonstration: row.is_demonstration === 1,
  };
}
