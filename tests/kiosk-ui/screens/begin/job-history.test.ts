import { describe, expect, it } from "vitest";
import { fetchJobHistory } from "#kiosk-ui/screens/begin/job-history";
import { fakeBeginDesk, MADE_UP_JOB } from "#tests/helpers/made-up-jobs";
import { MADE_UP_CASE } from "#tests/helpers/made-up-outlook";

describe("what a job has had", () => {
  it("is its bakes, the last one's case and card, and its layers", async () => {
    const desk = fakeBeginDesk();
    const history = await fetchJobHistory(desk, MADE_UP_JOB, null);
    expect(history).toMatchObject({ bakeCount: 1, lastCase: MADE_UP_CASE, lastPlanId: 2 });
    expect(history.layers).toMatchObject([{ name: "Demo paste, higher-firing", materialId: 2 }]);
    expect(desk.asked).toEqual(["bakes of 4411", "/api/jobs/4411"]);
  });

  it("is nothing for a new job, whose ledger is not asked for, also where other numbers contain its own", async () => {
    const desk = fakeBeginDesk();
    expect(await fetchJobHistory(desk, "441", null)).toMatchObject({
      bakeCount: 0,
      lastCase: null,
      layers: [],
    });
    expect(desk.asked).toEqual(["bakes of 441"]);
  });

  it("leaves out the open bake that is being given its plan", async () => {
    const history = await fetchJobHistory(fakeBeginDesk(), MADE_UP_JOB, 22);
    expect(history).toMatchObject({ bakeCount: 0, lastPlanId: null, layers: [] });
  });
});
