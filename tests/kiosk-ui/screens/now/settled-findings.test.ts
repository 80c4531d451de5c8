import { describe, expect, it } from "vitest";
import { type FindingsSince, findingsSince, settledFindings } from "#kiosk-ui/screens/now/settled-findings";
import type { Finding } from "#shared/comparison";

const slow: Finding = {
  code: "climb-slow",
  index: 1,
  planned: 35,
  actual: 29,
  heatWorkEffectFraction: -0.1,
  needsPerson: true,
};
const air: Finding = { ...slow, code: "vacuum-absent" };

/** What has settled after each second. */
function settledEachSecond(seconds: readonly (readonly Finding[])[]): Finding[][] {
  let since: FindingsSince = new Map();
  return seconds.map((findings, atSeconds) => {
    since = findingsSince(since, findings, atSeconds);
    return settledFindings(since, findings, atSeconds);
  });
}

describe("a finding of a running bake", () => {
  it("is settled once it has lasted six seconds, whatever its numbers do meanwhile", () => {
    const growing = Array.from({ length: 8 }, (_, at) => [{ ...slow, heatWorkEffectFraction: -0.01 * at }]);
    expect(settledEachSecond(growing).map(({ length }) => length)).toEqual([0, 0, 0, 0, 0, 0, 1, 1]);
  });

  it("never settles where it is gone after four", () => {
    const brief = Array.from({ length: 20 }, (_, at) => (at % 8 < 4 ? [air, slow] : [slow]));
    expect(settledEachSecond(brief).flat()).not.toContainEqual(air);
    expect(settledEachSecond(brief).at(-1)).toEqual([slow]);
  });
});
