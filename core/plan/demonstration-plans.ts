import type { Adaptation, Card } from "#core/plan/card";
import type { Plan } from "#core/plan/plan";

/** Low temperature and start of the vacuum for a well dried piece, °C (common practice, no source). */
const LOW_CELSIUS = 510;

const NOTE = "Invented for demonstration. Fire by the instructions of your own material.";

const BASIS = "common practice, no source";

/** A weak-side figure for what a small pump reaches, hPa (invented). */
const LEVEL_HECTOPASCALS = 60;

/** What a lab would not fire lithium disilicate above with such a paste, °C (invented). */
const LITHIUM_DISILICATE_LIMIT_CELSIUS = 790;

/** A plan card that comes with the program, and the demonstration material that it is made for, by its name. */
export interface DemonstrationCard {
  readonly card: Card;
  readonly materialName: string;
}

const higherFiring: Plan = {
  name: "Demo build-up, higher-firing",
  dryingSeconds: 360,
  closingSeconds: 180,
  lowCelsius: LOW_CELSIUS,
  lowHoldSeconds: 60,
  steps: [
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
    { kind: "hold", seconds: 60 },
  ],
  vacuum: {
    onAtCelsius: LOW_CELSIUS,
    levelHectopascals: LEVEL_HECTOPASCALS,
    release: { kind: "hold-end", hold: 1 },
  },
  cooling: { kind: "steady", toCelsius: 560, kelvinPerMinute: 40 },
  notes: NOTE,
};

const standard: Plan = {
  ...higherFiring,
  name: "Demo build-up, standard",
  steps: [
    { kind: "climb", toCelsius: 710, kelvinPerMinute: 45 },
    { kind: "hold", seconds: 60 },
  ],
  cooling: { kind: "free", openAtCelsius: 650 },
};

const glaze: Plan = {
  name: "Demo glaze in air, two climbs",
  dryingSeconds: 240,
  closingSeconds: 120,
  lowCelsius: 450,
  lowHoldSeconds: 30,
  steps: [
    { kind: "climb", toCelsius: 600, kelvinPerMinute: 60 },
    { kind: "hold", seconds: 60 },
    { kind: "climb", toCelsius: 730, kelvinPerMinute: 40 },
    { kind: "hold", seconds: 45 },
  ],
  cooling: { kind: "free", openAtCelsius: 650 },
  notes: NOTE,
};

/** The bigger, the slower and, at the end, the lower: 45, 40, 35 K/min. */
const CASE_SIZES: readonly Adaptation[] = [
  {
    when: { kind: "case-size", caseSize: "medium" },
    changes: [{ kind: "shift", number: "climb-rate", by: -5 }],
    basis: BASIS,
  },
  {
    when: { kind: "case-size", caseSize: "large" },
    changes: [
      { kind: "shift", number: "top", by: -10 },
      { kind: "shift", number: "climb-rate", by: -10 },
      { kind: "shift", number: "drying", by: 60 },
    ],
    basis: BASIS,
  },
];

/** The second holds 0 to 15 s; it has the first one's heat work in it already. */
const BAKES: readonly Adaptation[] = [
  {
    when: { kind: "bake", bake: "second" },
    changes: [{ kind: "set", number: "top-hold", to: 10 }],
    basis: `${BASIS}: 0 to 15 s`,
  },
  {
    when: { kind: "bake", bake: "correction" },
    changes: [{ kind: "shift", number: "top", by: -10 }],
    basis: BASIS,
  },
];

/** Lithium disilicate goes in warmer, climbs a little faster and a little higher. */
const LITHIUM_DISILICATE: Adaptation = {
  when: { kind: "framework", framework: "lithium-disilicate" },
  changes: [
    { kind: "shift", number: "low", by: 20 },
    { kind: "shift", number: "vacuum-on", by: 20 },
    { kind: "shift", number: "climb-rate", by: 5 },
    { kind: "shift", number: "top", by: 10 },
  ],
  basis: BASIS,
};

const LIMITS: Card["limits"] = [
  { framework: "lithium-disilicate", topCelsius: LITHIUM_DISILICATE_LIMIT_CELSIUS },
];

/**
 * The plan cards that come with the program, for practising. Names are invented; temperatures, rates, holds and
 * what changes them are common practice of the trade, no source.
 * @example DEMONSTRATION_CARDS.map(({ card }) => card.adaptations.length) // [5, 5, 1]
 */
export const DEMONSTRATION_CARDS: readonly DemonstrationCard[] = [
  {
    card: { plan: standard, adaptations: [LITHIUM_DISILICATE, ...CASE_SIZES, ...BAKES], limits: LIMITS },
    materialName: "Demo paste, standard",
  },
  {
    card: { plan: higherFiring, adaptations: [LITHIUM_DISILICATE, ...CASE_SIZES, ...BAKES], limits: LIMITS },
    materialName: "Demo paste, higher-firing",
  },
  {
    card: {
      plan: glaze,
      adaptations: [
        {
          when: { kind: "case-size", caseSize: "large" },
          changes: [{ kind: "shift", number: "climb-rate", by: -10 }],
          basis: BASIS,
        },
      ],
      limits: LIMITS,
    },
    materialName: "Demo colour glaze",
  },
];

/** The base plans of the demonstration cards: for a small zirconia or metal case in its first bake. */
export const DEMONSTRATION_PLANS: readonly Plan[] = DEMONSTRATION_CARDS.map(({ card }) => card.plan);
