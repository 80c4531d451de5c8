import { describe, expect, it } from "vitest";
import { caseSentence, planSentence } from "#kiosk-ui/screens/begin/begin-sentence";
import { type FittingGround, fittedCard } from "#kiosk-ui/screens/begin/fitted-card";
import type { JobLookUpState } from "#kiosk-ui/screens/begin/job-look-up";
import { madeUpCards, madeUpMaterials } from "#tests/helpers/made-up-jobs";

const LARGE_SECOND = { framework: "zirconia", caseSize: "large", bake: "second" } as const;
const history = (bakeCount: number): JobLookUpState => ({
  kind: "found",
  jobNumber: "4411",
  history: { jobNumber: "4411", bakeCount, lastCase: null, lastPlanId: null, layers: [] },
});

describe("beside what goes in", () => {
  const known = { job: "4411", isJobFit: true, isScanned: false, case: LARGE_SECOND };

  // biome-ignore format: a table reads in columns
  it.each([
    { when: "nothing is known",     change: { lookUp: { kind: "none" } as const },                                              says: "What goes in?" },
    { when: "a number was scanned", change: { lookUp: { kind: "none" } as const, isScanned: true },                             says: "Scanned 4411" },
    { when: "it is looked up",      change: { lookUp: { kind: "looking", jobNumber: "4411" } as const },                        says: "Looking up job 4411…" },
    { when: "the job is new",       change: { lookUp: history(0) },                                                             says: "Job 4411 is new here: its first bake." },
    { when: "the job has bakes",    change: { lookUp: history(2) },                                                             says: "Job 4411 has had 2 bakes." },
    { when: "nobody could say",     change: { lookUp: { kind: "failed", jobNumber: "4411", message: "No answer." } as const }, says: "Of job 4411 no earlier bake is known." },
  ])("it is said when $when: $says", ({ change, says }) => {
    expect(caseSentence({ ...known, ...change })).toMatchObject({ text: says, needsPerson: false });
  });

  it("it is said what the plan is fitted to, or that it need not be", () => {
    const lookUp = history(1);
    expect(caseSentence({ ...known, lookUp }).detail).toBe(
      "The plan is fitted to: large case on zirconia, second bake.",
    );
    expect(caseSentence({ ...known, lookUp, case: null }).detail).toContain("without a case");
  });

  it("a number that the daemon would refuse calls for a person", () => {
    const refused = caseSentence({ ...known, job: "<4411>", isJobFit: false, lookUp: { kind: "none" } });
    expect(refused.needsPerson).toBe(true);
    expect(refused.text).toContain("letters, digits");
  });
});

describe("beside the plan", () => {
  const [standard, higher, , contradictory] = madeUpCards();
  const paste = madeUpMaterials()[1]?.material;
  if (!standard || !higher || !contradictory || !paste)
    throw new Error("the demonstration has lost its cards");
  const ground: FittingGround = {
    case: LARGE_SECOND,
    furnaceId: "furnace-1",
    material: null,
    fastestClimbKelvinPerMinute: null,
    coolingKelvinPerMinute: 60,
    accounts: [],
    newLayers: [],
    unit: "celsius",
  };
  const collected = (chamberEquivalentSeconds: number) => ({
    name: "Build-up",
    material: paste,
    portions: [
      { bakeId: 1, chamberEquivalentSeconds, wareEquivalentSeconds: null, flowLengthMicrometres: null },
    ],
  });

  it("a good plan is to be set on the furnace", () => {
    expect(planSentence(fittedCard(higher, ground))).toMatchObject({
      text: "Set these numbers on the furnace.",
      needsPerson: false,
    });
  });

  it("of a bake that runs already nothing is to be set any more", () => {
    expect(planSentence(fittedCard(higher, ground), true)).toMatchObject({
      text: "Save it if the furnace runs these numbers.",
      needsPerson: false,
    });
    const over = planSentence(fittedCard(higher, { ...ground, accounts: [collected(210)] }), true);
    expect(over.detail).toContain("if the furnace runs these numbers");
  });

  it("a climb that the furnace never made is said first, with what to do", () => {
    const sentence = planSentence(fittedCard(higher, { ...ground, fastestClimbKelvinPerMinute: 25 }));
    expect(sentence.needsPerson).toBe(true);
    expect(sentence.text).toMatch(
      /^Step 1 climbs at 35.K\/min, and this furnace so far reached at most 25\.$/,
    );
    expect(sentence.detail).toContain("Lower its rate, or expect it to arrive late.");
    expect(sentence.detail).toContain("Set these numbers on the furnace.");
  });

  it("what refuses comes before what only needs saying", () => {
    const limited = { ...higher, limits: [{ framework: "zirconia" as const, topCelsius: 740 }] };
    const sentence = planSentence(fittedCard(limited, { ...ground, fastestClimbKelvinPerMinute: 25 }));
    expect(sentence.text).toContain("above the 740");
    expect(sentence.detail).toContain("Choose another card");
  });

  it("a layer that would leave its window is said, with what keeps it right", () => {
    const sentence = planSentence(fittedCard(higher, { ...ground, accounts: [collected(210)] }));
    expect(sentence).toMatchObject({ text: "Build-up would end above its window.", needsPerson: true });
    expect(sentence.detail).toContain("Set these numbers on the furnace.");
    const cold = fittedCard(standard, { ...ground, newLayers: [{ name: "Build-up", material: paste }] });
    expect(planSentence(cold).text).toBe("Build-up would end short of its window.");
  });

  it("a layer that would be overfired comes before a climb that would be late, and one left short after it", () => {
    const slow = { ...ground, fastestClimbKelvinPerMinute: 25 };
    const over = planSentence(fittedCard(higher, { ...slow, accounts: [collected(210)] }));
    expect(over.text).toBe("Build-up would end above its window.");
    const cold = fittedCard(standard, { ...slow, newLayers: [{ name: "Build-up", material: paste }] });
    expect(planSentence(cold).text).toContain("so far reached at most 25");
  });

  it("a card without a plan for the case, and no card at all, are said", () => {
    expect(planSentence(fittedCard(contradictory, ground))).toMatchObject({
      text: "This card gives no plan for this case.",
      needsPerson: true,
    });
    expect(planSentence(null).text).toBe("There is no plan yet");
  });
});
