import { describe, expect, it } from "vitest";
import type { JobHistory } from "#kiosk-ui/screens/begin/job-history";
import { type CardGround, proposedCards, proposedCase } from "#kiosk-ui/screens/begin/proposal";
import type { BakeCase } from "#shared/bake-case";
import { madeUpCards } from "#tests/helpers/made-up-jobs";

const LARGE: BakeCase = { framework: "zirconia", caseSize: "large", bake: "first" };
const SMALL: BakeCase = { framework: "metal", caseSize: "small", bake: "correction" };

function job(bakeCount: number, lastCase: BakeCase | null = null): JobHistory {
  return { jobNumber: "4411", bakeCount, lastCase, lastPlanId: null, layers: [] };
}

describe("the proposed case", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { known: "nothing",                            job: null,           last: null,  proposes: { bake: "first" } },
    { known: "the furnace's last",                 job: null,           last: SMALL, proposes: SMALL },
    { known: "a new job",                          job: job(0),         last: null,  proposes: { bake: "first" } },
    { known: "a new job and the furnace's last",   job: job(0),         last: SMALL, proposes: { framework: "metal", caseSize: "small", bake: "first" } },
    { known: "a job with a bake",                  job: job(1, LARGE),  last: SMALL, proposes: { framework: "zirconia", caseSize: "large", bake: "second" } },
    { known: "a job whose bake told no case",      job: job(1),         last: SMALL, proposes: { framework: "metal", caseSize: "small", bake: "second" } },
    { known: "a job with bakes and nothing else",  job: job(3),         last: null,  proposes: { bake: "second" } },
  ])("knowing $known is $proposes", ({ job: history, last, proposes }) => {
    expect(proposedCase({ job: history, last: last && { case: last, planId: 1 } })).toEqual(proposes);
  });
});

describe("the proposed card", () => {
  const nothing: CardGround = { jobPlanId: null, newMaterialIds: [], oldMaterialIds: [], lastPlanId: null };

  // cards 1 to 3 are for materials 1 to 3, card 4 for none, card 5 is retired
  // biome-ignore format: a table reads in columns
  it.each([
    { by: "nothing: as they stand",                         ground: {},                                                          order: [1, 2, 3, 4] },
    { by: "the card used last",                             ground: { lastPlanId: 3 },                                           order: [3, 1, 2, 4] },
    { by: "a layer put on now",                             ground: { newMaterialIds: [2], lastPlanId: 3 },                      order: [2, 3, 1, 4] },
    { by: "a layer that the job has",                       ground: { oldMaterialIds: [2], lastPlanId: 3 },                      order: [2, 3, 1, 4] },
    { by: "a layer put on now before an old one",           ground: { newMaterialIds: [3], oldMaterialIds: [1] },                order: [3, 1, 2, 4] },
    { by: "the job's last bake",                            ground: { jobPlanId: 2, oldMaterialIds: [1], lastPlanId: 3 },        order: [2, 1, 3, 4] },
    { by: "the job's last bake with the same paste again",  ground: { jobPlanId: 2, newMaterialIds: [2], oldMaterialIds: [2] },  order: [2, 1, 3, 4] },
    { by: "a new layer that the job's card is not for",     ground: { jobPlanId: 2, newMaterialIds: [3], oldMaterialIds: [2] },  order: [3, 2, 1, 4] },
    { by: "the job's last bake by a card for no material",  ground: { jobPlanId: 4, newMaterialIds: [3] },                       order: [4, 3, 1, 2] },
    { by: "a retired card of the job: it is not offered",   ground: { jobPlanId: 5, lastPlanId: 2 },                             order: [2, 1, 3, 4] },
  ])("goes by $by", ({ ground, order }) => {
    const cards = proposedCards(madeUpCards(), { ...nothing, ...ground });
    expect(cards.map(({ planId }) => planId)).toEqual(order);
  });
});
