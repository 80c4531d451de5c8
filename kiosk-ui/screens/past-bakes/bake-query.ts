import type { GradeWord } from "#shared/grade";
import type { BakeFilter } from "#shared/requests";

/** Bakes on one page of the list: what a person scrolls through, and all that the page ever holds. */
export const BAKES_PER_PAGE = 20;

/** What the list shows: filters, which page, and what is chosen to be laid over each other. */
export interface BakeQuery {
  readonly furnaceId: string | null;
  readonly planId: number | null;
  readonly grade: GradeWord | "none" | null;
  /** Part of a job number; empty for any. */
  readonly job: string;
  /** Counted from 0, newest first. */
  readonly page: number;
  /** Bakes chosen for laying over each other, first chosen first; two at most. */
  readonly chosen: readonly number[];
}

/** Everything, newest first. */
export const everyBake: BakeQuery = {
  furnaceId: null,
  planId: null,
  grade: null,
  job: "",
  page: 0,
  chosen: [],
};

/** The query with another filter; the list then starts again at its newest page. */
export function filtered(
  query: BakeQuery,
  change: Partial<Pick<BakeQuery, "furnaceId" | "planId" | "grade" | "job">>,
): BakeQuery {
  return { ...query, ...change, page: 0 };
}

/** True where any filter is set. */
export function isFiltered({ furnaceId, planId, grade, job }: BakeQuery): boolean {
  return furnaceId !== null || planId !== null || grade !== null || job.trim() !== "";
}

/** The query with a bake chosen, or no longer; a third one takes the place of the second. */
export function toggled(query: BakeQuery, bakeId: number): BakeQuery {
  const [first] = query.chosen;
  if (query.chosen.includes(bakeId))
    return { ...query, chosen: query.chosen.filter((chosen) => chosen !== bakeId) };
  return { ...query, chosen: first === undefined ? [bakeId] : [first, bakeId] };
}

/** The query as the daemon is asked. */
export function bakeFilter({ furnaceId, planId, grade, job, page }: BakeQuery): BakeFilter {
  const part = job.trim();
  return {
    ...(furnaceId === null ? {} : { furnaceId }),
    ...(planId === null ? {} : { planId }),
    ...(grade === null ? {} : { grade }),
    ...(part === "" ? {} : { job: part }),
    limit: BAKES_PER_PAGE,
    offset: page * BAKES_PER_PAGE,
  };
}

/** Which bakes a page shows of how many, counted from 1, and whether there are newer and older ones. */
export function pageSpan(page: number, total: number) {
  const from = Math.min(total, page * BAKES_PER_PAGE + 1);
  const to = Math.min(total, (page + 1) * BAKES_PER_PAGE);
  return { from, to, hasNewer: page > 0, hasOlder: to < total };
}
