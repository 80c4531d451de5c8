import type { Store } from "#daemon/store/store";
import type { FurnaceExperience } from "#shared/requests";

/** The newest bakes tell what a furnace can do now: elements tire. */
const MOST_BAKES = 50;

/** What the last compared bakes of a furnace tell for a new one. */
export async function furnaceExperience(
  { bakes }: Pick<Store, "bakes">,
  furnaceId: string,
): Promise<FurnaceExperience> {
  const ids = await bakes.find({ kind: "compared", furnaceId }, MOST_BAKES);
  let fastest = 0;
  for (const id of ids) {
    const climbs = (await bakes.detail(id))?.comparison?.climbs ?? [];
    for (const { actual } of climbs)
      if (actual?.isComplete) fastest = Math.max(fastest, actual.kelvinPerMinute ?? 0);
  }
  return { bakes: ids.length, fastestClimbKelvinPerMinute: fastest > 0 ? fastest : null };
}
