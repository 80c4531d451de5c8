import type { Card, FrameworkLimit } from "#core/plan/card";
import { legs, topCelsius } from "#core/plan/plan";
import type { Adaptation, Plan, PlanRevision, Card as SharedCard } from "#shared/plan";

/** A card while it is being edited: data, replaced with every touch. */
export type CardDraft = SharedCard;
type Step = Plan["steps"][number];
type Vacuum = NonNullable<Plan["vacuum"]>;
type Release = Vacuum["release"];
type Limit = CardDraft["limits"][number];

const NEW_CLIMB_KELVIN = 50;
const NEW_CLIMB_KELVIN_PER_MINUTE = 40;
const NEW_HOLD_SECONDS = 30;
const NEW_LEVEL_HECTOPASCALS = 50;
const COOL_BELOW_TOP_KELVIN = 200;
const COOL_KELVIN_PER_MINUTE = 40;
const RELEASE_BELOW_TOP_KELVIN = 1;

/** Where a new card begins: a middling build-up, to be changed (common practice, no source). */
export function newCard(name: string): CardDraft {
  return {
    plan: {
      name,
      dryingSeconds: 360,
      closingSeconds: 180,
      lowCelsius: 500,
      lowHoldSeconds: 0,
      steps: [
        { kind: "climb", toCelsius: 750, kelvinPerMinute: NEW_CLIMB_KELVIN_PER_MINUTE },
        { kind: "hold", seconds: 60 },
      ],
      cooling: { kind: "free" },
    },
    adaptations: [],
    limits: [],
    materialId: null,
  };
}

/** What can be edited of a saved revision. */
export function draftOf({ plan, adaptations, limits, materialId }: PlanRevision): CardDraft {
  return { plan, adaptations, limits, materialId };
}

/** True where two cards say the same. */
export function isSameCard(one: CardDraft, other: CardDraft): boolean {
  return JSON.stringify(inOrder(one)) === JSON.stringify(inOrder(other));
}

/** The card with some of its base plan replaced. */
export function withPlan(card: CardDraft, changes: Partial<Plan>): CardDraft {
  return { ...card, plan: { ...card.plan, ...changes } };
}

/** The card with another step in the place of one. */
export function withStep(card: CardDraft, index: number, step: Step): CardDraft {
  return withPlan(card, { steps: card.plan.steps.map((old, at) => (at === index ? step : old)) });
}

/** The card without a step. */
export function withoutStep(card: CardDraft, index: number): CardDraft {
  return withPlan(card, { steps: card.plan.steps.filter((_, at) => at !== index) });
}

/** The card with a climb above its last temperature. */
export function withClimbAdded(card: CardDraft): CardDraft {
  const last = legs(card.plan).at(-1);
  const step: Step = {
    kind: "climb",
    toCelsius: (last?.toCelsius ?? card.plan.lowCelsius) + NEW_CLIMB_KELVIN,
    kelvinPerMinute: last?.kelvinPerMinute ?? NEW_CLIMB_KELVIN_PER_MINUTE,
  };
  return withPlan(card, { steps: [...card.plan.steps, step] });
}

/** The card with a hold after its last step. */
export function withHoldAdded(card: CardDraft): CardDraft {
  return withPlan(card, { steps: [...card.plan.steps, { kind: "hold", seconds: NEW_HOLD_SECONDS }] });
}

/** True where a hold can come next: after a climb. */
export function canAddHold(card: CardDraft): boolean {
  return card.plan.steps.at(-1)?.kind === "climb";
}

/** The card with a vacuum from its low temperature on until its first hold ends, or with none. */
export function withVacuum(card: CardDraft, isOn: boolean): CardDraft {
  const vacuum: Vacuum = {
    onAtCelsius: card.plan.lowCelsius,
    levelHectopascals: NEW_LEVEL_HECTOPASCALS,
    release: { kind: "hold-end", hold: 1 },
  };
  return withPlan(card, { vacuum: isOn ? (card.plan.vacuum ?? vacuum) : undefined });
}

/** The card with some of its vacuum replaced; the same where it has none. */
export function withVacuumChanged(card: CardDraft, changes: Partial<Vacuum>): CardDraft {
  const { vacuum } = card.plan;
  return vacuum ? withPlan(card, { vacuum: { ...vacuum, ...changes } }) : card;
}

/** The card with another kind of release, at a temperature just below its top or with its first hold. */
export function withReleaseKind(card: CardDraft, kind: Release["kind"]): CardDraft {
  const now = card.plan.vacuum?.release;
  if (!now || now.kind === kind) return card;
  const release: Release =
    kind === "at-temperature"
      ? { kind, celsius: topCelsius(card.plan) - RELEASE_BELOW_TOP_KELVIN }
      : { kind, hold: now.kind === "at-temperature" ? 1 : now.hold };
  return withVacuumChanged(card, { release });
}

/** The card with another kind of cooling. */
export function withCoolingKind(card: CardDraft, kind: Plan["cooling"]["kind"]): CardDraft {
  return card.plan.cooling.kind === kind ? card : withPlan(card, { cooling: newCooling(card, kind) });
}

/** A cooling to begin with: free, or led down from the last temperature. */
export function newCooling({ plan }: CardDraft, kind: Plan["cooling"]["kind"]): Plan["cooling"] {
  if (kind === "free") return { kind };
  const from = legs(plan).at(-1)?.toCelsius ?? plan.lowCelsius;
  return {
    kind,
    toCelsius: Math.max(0, from - COOL_BELOW_TOP_KELVIN),
    kelvinPerMinute: COOL_KELVIN_PER_MINUTE,
  };
}

/** The card with an adaptation in the place of one, or added at the end. */
export function withAdaptation(card: CardDraft, index: number, adaptation: Adaptation): CardDraft {
  const isNew = index >= card.adaptations.length;
  return {
    ...card,
    adaptations: isNew
      ? [...card.adaptations, adaptation]
      : card.adaptations.map((old, at) => (at === index ? adaptation : old)),
  };
}

/** The card without an adaptation. */
export function withoutAdaptation(card: CardDraft, index: number): CardDraft {
  return { ...card, adaptations: card.adaptations.filter((_, at) => at !== index) };
}

/** The card with the highest temperature of a framework; null takes the limit away. */
export function withLimit(
  card: CardDraft,
  framework: FrameworkLimit["framework"],
  topCelsiusOrNull: number | null,
): CardDraft {
  const others = card.limits.filter((limit) => limit.framework !== framework);
  const limits: Limit[] =
    topCelsiusOrNull === null ? others : [...others, { framework, topCelsius: topCelsiusOrNull }];
  return { ...card, limits };
}

/** The highest temperature that a card states for a framework, °C; null where it states none. */
export function limitOf(card: Pick<Card, "limits">, framework: FrameworkLimit["framework"]): number | null {
  return card.limits.find((limit) => limit.framework === framework)?.topCelsius ?? null;
}

/** The same content in one order of keys; what is absent and what is undefined are one. */
function inOrder(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(inOrder);
  if (typeof value !== "object" || value === null) return value;
  const entries = Object.entries(value).filter(([, part]) => part !== undefined);
  return Object.fromEntries(
    entries.sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, part]) => [key, inOrder(part)]),
  );
}
