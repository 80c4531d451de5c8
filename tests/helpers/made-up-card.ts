import type { Card } from "#shared/plan";

/** A card for tests: 510 °C, 45 K/min to 760 °C, a minute's hold; a large case is 10 K lower and a second bake holds 10 s. */
export function madeUpCard(changes: Partial<Card> = {}, plan: Partial<Card["plan"]> = {}): Card {
  return {
    plan: {
      name: "Build-up",
      dryingSeconds: 360,
      closingSeconds: 180,
      lowCelsius: 510,
      lowHoldSeconds: 0,
      steps: [
        { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
        { kind: "hold", seconds: 60 },
      ],
      vacuum: { onAtCelsius: 510, levelHectopascals: 60, release: { kind: "hold-end", hold: 1 } },
      cooling: { kind: "free" },
      ...plan,
    },
    adaptations: [
      {
        when: { kind: "case-size", caseSize: "large" },
        changes: [{ kind: "shift", number: "top", by: -10 }],
        basis: "common practice, no source",
      },
      { when: { kind: "bake", bake: "second" }, changes: [{ kind: "set", number: "top-hold", to: 10 }] },
    ],
    limits: [],
    materialId: null,
    ...changes,
  };
}
