import { type Leg, legs, type Plan } from "#core/plan/plan";

/** How a furnace's own controller behaves. */
export interface ControllerTuning {
  /** Duty per kelvin of difference. */
  readonly proportionalPerKelvin: number;
  readonly integralSeconds: number;
  /** Share of the expected duty that is given without waiting for a difference. */
  readonly feedForwardFraction: number;
  /** Lag of its own sensor, s. */
  readonly sensorLagSeconds: number;
  /** What its own sensor reads too high: the display says 760 and the chamber is cooler. */
  readonly sensorOffsetKelvin: number;
  /** A hold counts only from when its temperature is nearly reached. */
  readonly waitsForTemperature: boolean;
}

/** What the programme of a bake is doing. */
export type Phase =
  | { readonly kind: "rest" }
  | { readonly kind: "drying" | "closing" | "low-hold"; readonly sinceSeconds: number }
  | { readonly kind: "climb" | "hold"; readonly leg: number; readonly sinceSeconds: number }
  /** The set point has arrived, the furnace has not. */
  | { readonly kind: "waiting"; readonly leg: number; readonly sinceSeconds: number }
  | { readonly kind: "led-cooling" | "shut-cooling" | "open-cooling"; readonly sinceSeconds: number };

/** The controller between two steps. */
export interface ControllerState {
  readonly plan: Plan | null;
  /** Climbs and holds of the plan. */
  readonly legs: readonly Leg[];
  readonly phase: Phase;
  readonly restCelsius: number;
  readonly integralDuty: number;
  readonly isPumping: boolean;
  readonly hasReleased: boolean;
}

/** What the controller does to the furnace. */
export interface ControllerOutputs {
  readonly setCelsius: number;
  readonly dutyFraction: number;
  /** How far the muffle is to stand open, 0 to 1. */
  readonly openFraction: number;
  readonly isPumping: boolean;
  readonly isVented: boolean;
}

/** The expected duty at a set point and its rate, for a furnace as it left the works. */
export type ExpectedDuty = (setCelsius: number, kelvinPerSecond: number) => number;

/** A hold counts from this far below its temperature (invented). */
const NEARLY_REACHED_KELVIN = 2;

/** Then the controller stops waiting and holds where it is (invented). */
const LONGEST_WAIT_SECONDS = 240;

/** Ends the cooling this far above the low temperature (invented). */
const NEARLY_COOLED_KELVIN = 4;

/** Above the set point of a led cooling the muffle opens a little, in proportion, 1/K (invented). */
const OPENING_PER_KELVIN = 0.06;

/** A furnace that stands by at its low temperature. */
export function restingController(restCelsius: number, integralDuty: number): ControllerState {
  return {
    plan: null,
    legs: [],
    phase: { kind: "rest" },
    restCelsius,
    integralDuty,
    isPumping: false,
    hasReleased: false,
  };
}

/** Somebody pressed start. */
export function startedController(state: ControllerState, plan: Plan, atSeconds: number): ControllerState {
  return {
    ...state,
    plan,
    legs: legs(plan),
    restCelsius: plan.lowCelsius,
    phase: { kind: "drying", sinceSeconds: atSeconds },
    isPumping: false,
    hasReleased: false,
  };
}

/** Somebody pressed stop: the rest of the programme is left out and the furnace opens. */
export function abortedController(state: ControllerState, atSeconds: number): ControllerState {
  if (state.phase.kind === "rest") return state;
  return { ...state, phase: { kind: "open-cooling", sinceSeconds: atSeconds } };
}

/** The controller after a short time, and what it now does. */
export function nextController(
  before: ControllerState,
  atSeconds: number,
  sensorCelsius: number,
  tuning: ControllerTuning,
  expectedDuty: ExpectedDuty,
  stepSeconds: number,
): { readonly state: ControllerState; readonly outputs: ControllerOutputs } {
  const phase = nextPhase(before, atSeconds, sensorCelsius, tuning);
  const state = withVacuum({ ...before, phase }, sensorCelsius);
  const { setCelsius, kelvinPerSecond } = setpoint(state, atSeconds);
  const isHeating = phase.kind !== "shut-cooling" && phase.kind !== "open-cooling";
  const errorKelvin = setCelsius - sensorCelsius;
  const wanted =
    tuning.feedForwardFraction * expectedDuty(setCelsius, kelvinPerSecond) +
    tuning.proportionalPerKelvin * errorKelvin +
    state.integralDuty;
  const isSaturated = (wanted > 1 && errorKelvin > 0) || (wanted < 0 && errorKelvin < 0);
  const gainedDuty = isHeating && !isSaturated ? errorKelvin * stepSeconds : 0;
  const isOpen = phase.kind === "drying" || phase.kind === "open-cooling";
  return {
    state: {
      ...state,
      integralDuty: state.integralDuty + (gainedDuty * tuning.proportionalPerKelvin) / tuning.integralSeconds,
    },
    outputs: {
      setCelsius,
      dutyFraction: isHeating ? Math.min(1, Math.max(0, wanted)) : 0,
      openFraction: isOpen ? 1 : ledOpening(phase, errorKelvin),
      isPumping: state.isPumping,
      isVented: isOpen || phase.kind === "closing" || (state.hasReleased && !state.isPumping),
    },
  };
}

function nextPhase(
  state: ControllerState,
  atSeconds: number,
  sensorCelsius: number,
  tuning: ControllerTuning,
): Phase {
  const { phase, plan } = state;
  if (phase.kind === "rest" || !plan) return phase;
  const leg = "leg" in phase ? state.legs[phase.leg] : undefined;
  const elapsedSeconds = atSeconds - phase.sinceSeconds;
  switch (phase.kind) {
    case "drying":
      return elapsedSeconds < plan.dryingSeconds ? phase : { kind: "closing", sinceSeconds: atSeconds };
    case "closing":
      return elapsedSeconds < plan.closingSeconds ? phase : { kind: "low-hold", sinceSeconds: atSeconds };
    case "low-hold":
      return elapsedSeconds < plan.lowHoldSeconds ? phase : climbOrCooling(state, 0, atSeconds);
    case "climb":
      return leg && elapsedSeconds < climbSeconds(leg)
        ? phase
        : { kind: "waiting", leg: phase.leg, sinceSeconds: atSeconds };
    case "waiting":
      return leg && isStillAwaited(leg, elapsedSeconds, sensorCelsius, tuning)
        ? phase
        : { kind: "hold", leg: phase.leg, sinceSeconds: atSeconds };
    case "hold":
      return leg && elapsedSeconds < leg.holdSeconds
        ? phase
        : climbOrCooling(state, phase.leg + 1, atSeconds);
    case "led-cooling":
      return elapsedSeconds < ledCoolingSeconds(state)
        ? phase
        : { kind: "open-cooling", sinceSeconds: atSeconds };
    case "shut-cooling":
      return sensorCelsius > opensAtCelsius(plan) ? phase : { kind: "open-cooling", sinceSeconds: atSeconds };
    case "open-cooling":
      return sensorCelsius > state.restCelsius + NEARLY_COOLED_KELVIN ? phase : { kind: "rest" };
  }
}

function isStillAwaited(
  leg: Leg,
  waitedSeconds: number,
  sensorCelsius: number,
  { waitsForTemperature }: ControllerTuning,
): boolean {
  const isReached = sensorCelsius >= leg.toCelsius - NEARLY_REACHED_KELVIN;
  return waitsForTemperature && !isReached && waitedSeconds < LONGEST_WAIT_SECONDS;
}

function climbOrCooling({ legs, plan }: ControllerState, leg: number, atSeconds: number): Phase {
  if (leg < legs.length) return { kind: "climb", leg, sinceSeconds: atSeconds };
  if (plan?.cooling.kind === "steady") return { kind: "led-cooling", sinceSeconds: atSeconds };
  const opensLater = plan?.cooling.kind === "free" && plan.cooling.openAtCelsius !== undefined;
  return { kind: opensLater ? "shut-cooling" : "open-cooling", sinceSeconds: atSeconds };
}

function climbSeconds(leg: Leg): number {
  return leg.holdStartSeconds - leg.climbStartSeconds;
}

function opensAtCelsius({ cooling }: Plan): number {
  return (cooling.kind === "free" ? cooling.openAtCelsius : undefined) ?? Number.POSITIVE_INFINITY;
}

function topOfLegs({ legs, restCelsius }: ControllerState): number {
  return legs.at(-1)?.toCelsius ?? restCelsius;
}

function ledCoolingSeconds(state: ControllerState): number {
  const cooling = state.plan?.cooling;
  if (cooling?.kind !== "steady") return 0;
  return (Math.max(0, topOfLegs(state) - cooling.toCelsius) / cooling.kelvinPerMinute) * 60;
}

function setpoint(
  state: ControllerState,
  atSeconds: number,
): { readonly setCelsius: number; readonly kelvinPerSecond: number } {
  const { phase, plan, restCelsius } = state;
  if (phase.kind === "climb" || phase.kind === "waiting" || phase.kind === "hold") {
    const leg = state.legs[phase.leg];
    if (!leg) return { setCelsius: restCelsius, kelvinPerSecond: 0 };
    if (phase.kind !== "climb") return { setCelsius: leg.toCelsius, kelvinPerSecond: 0 };
    const kelvinPerSecond = leg.kelvinPerMinute / 60;
    const setCelsius = leg.fromCelsius + kelvinPerSecond * (atSeconds - phase.sinceSeconds);
    return { setCelsius: Math.min(leg.toCelsius, setCelsius), kelvinPerSecond };
  }
  if (phase.kind === "led-cooling" && plan?.cooling.kind === "steady") {
    const kelvinPerSecond = -plan.cooling.kelvinPerMinute / 60;
    return {
      setCelsius: topOfLegs(state) + kelvinPerSecond * (atSeconds - phase.sinceSeconds),
      kelvinPerSecond,
    };
  }
  return { setCelsius: restCelsius, kelvinPerSecond: 0 };
}

function ledOpening(phase: Phase, errorKelvin: number): number {
  if (phase.kind !== "led-cooling") return 0;
  return Math.min(0.7, Math.max(0, -OPENING_PER_KELVIN * errorKelvin));
}

function withVacuum(state: ControllerState, sensorCelsius: number): ControllerState {
  const { plan, phase, isPumping, hasReleased } = state;
  if (!plan?.vacuum || hasReleased) return state;
  if (!isPumping) {
    const hasClimbed = phase.kind === "climb" || phase.kind === "waiting" || phase.kind === "hold";
    const isHotEnough =
      plan.vacuum.onAtCelsius <= plan.lowCelsius || sensorCelsius >= plan.vacuum.onAtCelsius;
    return hasClimbed && isHotEnough ? { ...state, isPumping: true } : state;
  }
  return isReleaseDue(plan.vacuum.release, phase, sensorCelsius)
    ? { ...state, isPumping: false, hasReleased: true }
    : state;
}

function isReleaseDue(
  release: NonNullable<Plan["vacuum"]>["release"],
  phase: Phase,
  sensorCelsius: number,
): boolean {
  const isCooling = !("leg" in phase);
  switch (release.kind) {
    case "at-temperature":
      return isCooling || sensorCelsius >= release.celsius;
    case "hold-start":
      return (
        isCooling || phase.leg >= release.hold || (phase.leg === release.hold - 1 && phase.kind === "hold")
      );
    case "hold-end":
      return isCooling || phase.leg >= release.hold;
  }
}
