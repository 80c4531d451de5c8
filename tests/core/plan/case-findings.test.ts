import { it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import type { BakeCase } from "#core/plan/bake-case";
import type { Card } from "#core/plan/card";
import { type CaseKnowledge, caseFindings } from "#core/plan/case-findings";
import { planFindings } from "#core/plan/findings";
import type { Plan } from "#core/plan/plan";
import { plans } from "#tests/helpers/arbitraries";

const plan: Plan = {
  name: "t",
  dryingSeconds: 360,
  closingSeconds: 60,
  lowCelsius: 510,
  lowHoldSeconds: 0,
  steps: [
    { kind: "climb", toCelsius: 650, kelvinPerMinute: 45 },
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 60 },
    { kind: "hold", seconds: 60 },
  ],
  vacuum: { onAtCelsius: 510, levelHectopascals: 60, release: { kind: "hold-end", hold: 2 } },
  cooling: { kind: "free" },
};
const card: Card = { plan, adaptations: [], limits: [{ framework: "lithium-disilicate", topCelsius: 790 }] };
const onDisilicate: BakeCase = { framework: "lithium-disilicate", caseSize: "small", bake: "first" };
const [, material = null] = DEMONSTRATION_MATERIALS;
const nothing: CaseKnowledge = { card, bakeCase: null, material: null, fastestClimbKelvinPerMinute: null };

function said(of: Plan, knowledge: Partial<CaseKnowledge>) {
  return caseFindings(of, { ...nothing, ...knowledge }).map(({ code, refuses, step, sentence }) => [
    code,
    refuses,
    step,
    sentence,
  ]);
}

describe("the findings of a plan for its case", () => {
  it.prop([plans()])("are the plan's own where nothing is known of case, material and furnace", (any) => {
    expect(caseFindings(any, { ...nothing, card: { ...card, plan: any } })).toEqual(planFindings(any));
  });

  it("tell a climb that this furnace has never managed, with a small margin", () => {
    expect(said(plan, { fastestClimbKelvinPerMinute: 52 })).toEqual([
      [
        "climb-faster-than-furnace",
        false,
        2,
        "step 2 climbs at 60 K/min, and this furnace so far reached at most 52: lower its rate, or expect it to arrive late",
      ],
    ]);
    expect(said(plan, { fastestClimbKelvinPerMinute: 58.4 })).toEqual([]);
    expect(said(plan, { fastestClimbKelvinPerMinute: 58.1 })).toHaveLength(1);
  });

  it("tell a vacuum that starts when the pores close already", () => {
    const late: Plan = {
      ...plan,
      vacuum: { onAtCelsius: 730, levelHectopascals: 60, release: { kind: "hold-end", hold: 2 } },
    };
    expect(said(late, { material })).toEqual([
      [
        "vacuum-above-closure",
        false,
        undefined,
        "vacuum starts at 730 °C, when pores of Demo paste, higher-firing close from 723 °C on and keep their air: start it lower",
      ],
    ]);
    expect(said(late, { material: null })).toEqual([]);
    expect(said(plan, { material })).toEqual([]);
  });

  it("tell air that is let in before the last pores close", () => {
    const early: Plan = {
      ...plan,
      vacuum: { onAtCelsius: 510, levelHectopascals: 60, release: { kind: "at-temperature", celsius: 740 } },
    };
    expect(said(early, { material })).toEqual([
      [
        "vacuum-released-before-closure",
        false,
        undefined,
        "air is let in at 740 °C, before the last pores of Demo paste, higher-firing close at 745 °C: let it in higher, or at the hold",
      ],
    ]);
  });

  it.each([
    { release: { kind: "hold-start", hold: 1 }, heldAt: 650, isTold: true },
    { release: { kind: "hold-end", hold: 1 }, heldAt: 650, isTold: true },
    { release: { kind: "hold-start", hold: 1 }, heldAt: 730, isTold: true },
    { release: { kind: "hold-end", hold: 1 }, heldAt: 730, isTold: false },
    { release: { kind: "hold-start", hold: 2 }, heldAt: 650, isTold: false },
    { release: { kind: "hold-end", hold: 2 }, heldAt: 650, isTold: false },
  ] as const)(
    "tell air that is let in with a hold below closure, $release.kind $release.hold at $heldAt °C: $isTold",
    ({ release, heldAt, isTold }) => {
      const twoHolds: Plan = {
        ...plan,
        steps: [
          { kind: "climb", toCelsius: heldAt, kelvinPerMinute: 45 },
          { kind: "hold", seconds: 30 },
          { kind: "climb", toCelsius: 760, kelvinPerMinute: 60 },
        ],
        vacuum: { onAtCelsius: 510, levelHectopascals: 60, release },
      };
      const sentence = `air is let in at ${heldAt} °C, before the last pores of Demo paste, higher-firing close at 745 °C: let it in at a later hold`;
      expect(said(twoHolds, { material })).toEqual(
        isTold ? [["vacuum-released-before-closure", false, undefined, sentence]] : [],
      );
    },
  );

  it("tell a drying that is shorter than the card's", () => {
    expect(said({ ...plan, dryingSeconds: 300 }, {})).toEqual([
      [
        "drying-cut-short",
        false,
        undefined,
        "drying is cut to 300 s of the card's 360 s: give it the 60 s back unless the piece is dry",
      ],
    ]);
    expect(said({ ...plan, dryingSeconds: 420 }, {})).toEqual([]);
    expect(said({ ...plan, dryingSeconds: 0 }, {}).map(([code]) => code)).toEqual(["drying-absent"]);
  });

  it("refuse a top above what the card allows for the framework", () => {
    const hot: Plan = {
      ...plan,
      steps: [
        { kind: "climb", toCelsius: 800, kelvinPerMinute: 45 },
        { kind: "hold", seconds: 5 },
      ],
      vacuum: undefined,
    };
    expect(said(hot, { bakeCase: onDisilicate })).toEqual([
      [
        "top-above-limit",
        true,
        1,
        "the top of 800 °C is above the 790 °C that this card allows for lithium disilicate: lower it by 10 K, or mend the limit",
      ],
    ]);
    expect(said(hot, { bakeCase: { ...onDisilicate, framework: "zirconia" } })).toEqual([]);
    expect(said(hot, { bakeCase: null })).toEqual([]);
    const atLimit: Plan = { ...hot, steps: [{ kind: "climb", toCelsius: 790, kelvinPerMinute: 45 }] };
    expect(said(atLimit, { bakeCase: onDisilicate })).toEqual([]);
  });

  it("take the lowest where a card limits a framework twice", () => {
    const twice: Card = {
      ...card,
      limits: [...card.limits, { framework: "lithium-disilicate", topCelsius: 750 }],
    };
    expect(said(plan, { card: twice, bakeCase: onDisilicate }).map(([code]) => code)).toEqual([
      "top-above-limit",
    ]);
  });
});
