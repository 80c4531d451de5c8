import { usualCoolingKelvinPerMinute } from "#daemon/recording/live-background";
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
  const details = await Promise.all(ids.map((id) => bakes.detail(id)));
  const compared = details.flatMap((detail) =>
    detail?.plan && detail.comparison ? { plan: detail.plan.plan, comparison: detail.comparison } : [],
  );
  const climbs = compared.flatMap(({ comparison }) => comparison.climbs);
  const fastest = Math.max(
    0,
    ...climbs.map(({ actual }) => (actual?.isComplete ? (actual.kelvinPerMinute ?? 0) : 0)),
  );
  return {
    bakes: ids.length,
    fastestClimbKelvinPerMinute: fastest > 0 ? fastest : null,
    coolingKelvinPerMinute: usualCoolingKelvinPerMinute(compared),
  };
}
