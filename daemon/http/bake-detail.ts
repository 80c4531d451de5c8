import { DaemonError } from "#daemon/errors";
import type { HttpParts } from "#daemon/http/parts";
import type { BakeDetail } from "#shared/bake";

/**
 * Everything about a bake but its samples; an open one as it stands this moment.
 * @throws DaemonError `not-found`
 */
export async function bakeDetail(
  { store, recording }: Pick<HttpParts, "store" | "recording">,
  bakeId: number,
): Promise<BakeDetail> {
  const kept = await store.bakes.detail(bakeId);
  if (!kept) throw new DaemonError("not-found", `There is no bake ${bakeId}. Look in Past bakes.`);
  const open = recording.openBakes().find(({ bake }) => bake.id === bakeId);
  return open ? { ...kept, ...open } : kept;
}
