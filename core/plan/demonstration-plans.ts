import type { Plan } from "#core/plan/plan";

/** Low temperature and start of the vacuum for a well dried piece, °C (common practice, no source). */
const LOW_CELSIUS = 510;

const NOTE = "Invented for demonstration. Fire by the instructions of your own material.";

/** A weak-side figure for what a small pump reaches, hPa (invented). */
const LEVEL_HECTOPASCALS = 60;

const buildUpVacuum: Plan["vacuum"] = {
  onAtCelsius: LOW_CELSIUS,
  levelHectopascals: LEVEL_HECTOPASCALS,
  release: { kind: "hold-end", hold: 1 },
};

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
  vacuum: buildUpVacuum,
  cooling: { kind: "steady", toCelsius: 560, kelvinPerMinute: 40 },
  notes: NOTE,
};

/**
 * The plans that come with the program, for practising. Names are invented; temperatures, rates and holds
 * are common practice of the trade, no source.
 */
export const DEMONSTRATION_PLANS: readonly Plan[] = [
  {
    ...higherFiring,
    name: "Demo build-up, standard",
    steps: [
      { kind: "climb", toCelsius: 710, kelvinPerMinute: 45 },
      { kind: "hold", seconds: 60 },
    ],
    cooling: { kind: "free", openAtCelsius: 650 },
  },
  higherFiring,
  {
    ...higherFiring,
    name: "Demo build-up, higher-firing, large case",
    dryingSeconds: 420,
    steps: [
      { kind: "climb", toCelsius: 750, kelvinPerMinute: 35 },
      { kind: "hold", seconds: 60 },
    ],
  },
  {
    ...higherFiring,
    name: "Demo build-up, higher-firing, second bake",
    steps: [
      { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
      { kind: "hold", seconds: 10 },
    ],
  },
  {
    ...higherFiring,
    name: "Demo build-up on lithium disilicate",
    lowCelsius: 530,
    steps: [
      { kind: "climb", toCelsius: 770, kelvinPerMinute: 50 },
      { kind: "hold", seconds: 60 },
    ],
    vacuum: { ...buildUpVacuum, onAtCelsius: 530 },
  },
  {
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
  },
];
