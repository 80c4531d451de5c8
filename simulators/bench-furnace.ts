import type { Plan } from "#core/plan/plan";
import { celsiusFromKelvin } from "#core/units";
import { coldJunctionSurroundingsCelsius, nextColdJunctionCelsius } from "#simulators/cold-junction";
import {
  abortedController,
  type ControllerOutputs,
  type ControllerState,
  type ExpectedDuty,
  nextController,
  type Phase,
  restingController,
  startedController,
} from "#simulators/controller";
import {
  type FurnaceCharacter,
  furnaceFromSeed,
  nextThermalState,
  ROOM_CELSIUS,
  restingState,
  type ThermalState,
} from "#simulators/furnace";
import { type Load, SMALL_LOAD } from "#simulators/load";
import {
  heldCelsius,
  hungWire,
  type MeltingWire,
  meltedFraction,
  nextMeltingWire,
  type WireMetal,
} from "#simulators/melting-wire";
import {
  nextJunctionCelsius,
  ORDINARY_PROBE,
  type ProbeCharacter,
  rounded,
  sensedCelsius,
} from "#simulators/probe";
import { type RandomStream, randomStream } from "#simulators/random";
import { nextHectopascals, ROOM_HECTOPASCALS } from "#simulators/vacuum-pump";

/** Steps of the simulation in one second of its time. */
export const STEPS_PER_SECOND = 10;

const STEP_SECONDS = 1 / STEPS_PER_SECOND;

/** The mains wander with this time constant, s (invented). */
const MAINS_SECONDS = 30;

/** The muffle opens in this time, s (invented); the plan says how long it takes to close. */
const OPENING_SECONDS = 8;

/** After a bake the muffle closes slowly, s (invented). */
const CLOSING_AT_REST_SECONDS = 60;

/** What a bench furnace is made of. */
export interface BenchFurnaceOptions {
  readonly seed: number;
  /** Changes to the furnace that the seed gives. */
  readonly furnace?: Partial<FurnaceCharacter> | undefined;
  readonly probe?: Partial<ProbeCharacter> | undefined;
  /** Low temperature at which it stands by, °C. */
  readonly restCelsius?: number | undefined;
}

/** What the probe and its adapter say at a moment. */
export interface BenchReading {
  readonly elapsedSeconds: number;
  /** Of a healthy probe, in the steps that its adapter shows. */
  readonly celsius: number;
  /** The same before it is cut into steps: what the hot junction has, with its offset and noise. */
  readonly sensedCelsius: number;
  /** Of the adapter, as it really is. */
  readonly coldJunctionCelsius: number;
  readonly hectopascals: number;
  readonly heaterDutyFraction: number;
}

/** What is really so, which no instrument on the bench sees. */
export interface BenchTruth {
  readonly atSeconds: number;
  /** What an ideal probe with the same lag would read, °C. */
  readonly celsius: number;
  readonly chamberCelsius: number;
  readonly wareCelsius: number;
  readonly hectopascals: number;
  /** How much of the wire beside the probe has melted; absent without one. */
  readonly meltedFraction?: number | undefined;
}

/** The controller went over to another phase of its programme. */
export interface PhaseChange {
  readonly phase: Phase;
  readonly atSeconds: number;
}

/**
 * A furnace on the bench with its controller, load, probe and pump, on its own time from 0.
 * The same seed and the same calls at the same moments give the same readings, to the last digit.
 */
export class BenchFurnace {
  readonly character: FurnaceCharacter;
  readonly probe: ProbeCharacter;
  #step = 0;
  #thermal: ThermalState;
  #controller: ControllerState;
  #outputs: ControllerOutputs;
  #sensorCelsius: number;
  #junctionCelsius: number;
  #openFraction = 0;
  #hectopascals = ROOM_HECTOPASCALS;
  #mains = 0;
  #coldJunctionCelsius: number;
  #wire: MeltingWire | null = null;
  #load: Load | null = null;
  #isDoorForced = false;
  #onPhase: (change: PhaseChange) => void = () => {};
  readonly #expectedDuty: ExpectedDuty;
  readonly #mainsRandom: RandomStream;
  readonly #probeRandom: RandomStream;
  readonly #roomPhase: number;

  constructor({ seed, furnace, probe, restCelsius = 510 }: BenchFurnaceOptions) {
    this.character = { ...furnaceFromSeed(seed), ...furnace };
    this.probe = { ...ORDINARY_PROBE, ...probe };
    this.#mainsRandom = randomStream(seed, "mains");
    this.#probeRandom = randomStream(seed, "probe");
    this.#expectedDuty = expectedDutyOf(this.character);
    const { sensorOffsetKelvin, feedForwardFraction } = this.character.controller;
    const chamberCelsius = restCelsius - sensorOffsetKelvin;
    const { thermal, dutyFraction } = restingState(chamberCelsius, this.character);
    this.#thermal = thermal;
    this.#controller = restingController(
      restCelsius,
      dutyFraction - feedForwardFraction * this.#expectedDuty(restCelsius, 0),
    );
    this.#outputs = {
      setCelsius: restCelsius,
      dutyFraction,
      openFraction: 0,
      isPumping: false,
      isVented: true,
    };
    this.#sensorCelsius = restCelsius;
    this.#junctionCelsius = chamberCelsius;
    this.#roomPhase = randomStream(seed, "room").uniform();
    this.#coldJunctionCelsius = this.#surroundingsCelsius();
  }

  /** Its own time, s. */
  get atSeconds(): number {
    return this.#step / STEPS_PER_SECOND;
  }

  /** True from start to the return to rest. */
  get isBaking(): boolean {
    return this.#controller.phase.kind !== "rest";
  }

  get phase(): Phase {
    return this.#controller.phase;
  }

  /** Calls the listener at each change of phase. */
  onPhase(listener: (change: PhaseChange) => void): void {
    this.#onPhase = listener;
  }

  /** Lets time pass, in whole steps, up to a moment of its own time. */
  advance(toSeconds: number): void {
    const lastStep = Math.floor(toSeconds * STEPS_PER_SECOND + 1e-6);
    while (this.#step < lastStep) this.#takeStep();
  }

  /**
   * Presses start with a piece before the muffle.
   * @returns false when a bake is already running
   */
  start(plan: Plan, load: Load = SMALL_LOAD): boolean {
    if (this.isBaking) return false;
    this.#load = load;
    this.#change(startedController(this.#controller, plan, this.atSeconds));
    return true;
  }

  /** Presses stop: the furnace opens and returns to rest. */
  abort(): void {
    this.#change(abortedController(this.#controller, this.atSeconds));
  }

  /** Holds the muffle open, whatever the programme does, until `closeDoor`. */
  openDoor(): void {
    this.#isDoorForced = true;
  }

  closeDoor(): void {
    this.#isDoorForced = false;
  }

  /** Hangs a wire beside the probe, so that they touch; null takes it away. */
  hangWire(metal: WireMetal | null): void {
    this.#wire = metal === null ? null : hungWire(metal);
  }

  /** The wire beside the probe, whole or melted; null without one. */
  get wire(): MeltingWire | null {
    return this.#wire;
  }

  /** What the probe says now; each call draws new noise. */
  read(): BenchReading {
    const sensed = sensedCelsius(this.#junctionCelsius, this.probe, this.#probeRandom);
    return {
      elapsedSeconds: this.atSeconds,
      celsius: rounded(sensed, this.probe.resolutionKelvin),
      sensedCelsius: sensed,
      coldJunctionCelsius: this.#coldJunctionCelsius,
      hectopascals: rounded(this.#hectopascals, 0.1),
      heaterDutyFraction: rounded(this.#outputs.dutyFraction, 0.01),
    };
  }

  /** What is really so now. */
  truth(): BenchTruth {
    return {
      atSeconds: this.atSeconds,
      celsius: this.#junctionCelsius,
      chamberCelsius: celsiusFromKelvin(this.#thermal.chamberKelvin),
      wareCelsius: celsiusFromKelvin(this.#thermal.wareKelvin),
      hectopascals: this.#hectopascals,
      ...(this.#wire ? { meltedFraction: meltedFraction(this.#wire) } : {}),
    };
  }

  #takeStep(): void {
    const { controller: tuning, pump } = this.character;
    this.#step += 1;
    const { state, outputs } = nextController(
      this.#controller,
      this.atSeconds,
      this.#sensorCelsius,
      tuning,
      this.#expectedDuty,
      STEP_SECONDS,
    );
    this.#outputs = outputs;
    this.#change(state);
    this.#openFraction = this.#nextOpenFraction(outputs.openFraction);
    this.#mains = this.#nextMains();
    const load = this.isBaking ? this.#load : null;
    const inputs = {
      dutyFraction: outputs.dutyFraction,
      mainsFraction: 1 + this.#mains,
      openFraction: this.#openFraction,
      load,
    };
    this.#thermal = nextThermalState(this.#thermal, inputs, this.character, STEP_SECONDS);
    const chamberCelsius = celsiusFromKelvin(this.#thermal.chamberKelvin);
    this.#sensorCelsius = nextJunctionCelsius(
      this.#sensorCelsius,
      chamberCelsius + tuning.sensorOffsetKelvin,
      tuning.sensorLagSeconds,
      STEP_SECONDS,
    );
    this.#junctionCelsius = this.#nextJunctionCelsius(chamberCelsius);
    this.#coldJunctionCelsius = nextColdJunctionCelsius(
      this.#coldJunctionCelsius,
      this.#surroundingsCelsius(),
      STEP_SECONDS,
    );
    const air = { isPumping: outputs.isPumping, isVented: outputs.isVented || this.#openFraction > 0 };
    this.#hectopascals = nextHectopascals(this.#hectopascals, air, pump, STEP_SECONDS);
  }

  /** The probe in the chamber, or held back by a wire that melts. */
  #nextJunctionCelsius(chamberCelsius: number): number {
    const towards = (celsius: number) =>
      nextJunctionCelsius(this.#junctionCelsius, celsius, this.probe.lagSeconds, STEP_SECONDS);
    const free = towards(chamberCelsius);
    const held = this.#wire && heldCelsius(this.#wire, free, chamberCelsius);
    if (!this.#wire || held === null) return free;
    this.#wire = nextMeltingWire(this.#wire, chamberCelsius, this.atSeconds, STEP_SECONDS);
    return towards(held);
  }

  #surroundingsCelsius(): number {
    const insulationCelsius = celsiusFromKelvin(this.#thermal.insulationKelvin);
    return coldJunctionSurroundingsCelsius(this.atSeconds, insulationCelsius, this.#roomPhase);
  }

  #change(next: ControllerState): void {
    const phase = next.phase;
    const hasChanged = phase !== this.#controller.phase;
    this.#controller = next;
    if (hasChanged) this.#onPhase({ phase, atSeconds: this.atSeconds });
  }

  /** The muffle on its way to where the controller, or a hand, wants it. */
  #nextOpenFraction(wantedFraction: number): number {
    const { plan, phase } = this.#controller;
    const wanted = this.#isDoorForced ? 1 : wantedFraction;
    const isPlanned = phase.kind === "closing" || phase.kind === "low-hold";
    const closingSeconds = isPlanned ? (plan?.closingSeconds ?? 0) : CLOSING_AT_REST_SECONDS;
    const seconds =
      wanted > this.#openFraction || phase.kind === "led-cooling" ? OPENING_SECONDS : closingSeconds;
    const reach = STEP_SECONDS / Math.max(seconds, 1);
    const difference = wanted - this.#openFraction;
    return Math.abs(difference) <= reach ? wanted : this.#openFraction + Math.sign(difference) * reach;
  }

  /** The mains wander about their mean; drawn once a second. */
  #nextMains(): number {
    if (this.#step % STEPS_PER_SECOND !== 0) return this.#mains;
    const kept = Math.exp(-1 / MAINS_SECONDS);
    const ripple = this.character.mainsRippleFraction * Math.sqrt(1 - kept * kept);
    return kept * this.#mains + ripple * this.#mainsRandom.normal();
  }
}

/** What the makers of the controller took the furnace for: a new element, insulation half warmed through. */
function expectedDutyOf(furnace: FurnaceCharacter): ExpectedDuty {
  const joulesPerKelvin =
    furnace.elementJoulesPerKelvin + furnace.muffleJoulesPerKelvin + furnace.chamberJoulesPerKelvin;
  const wattsPerKelvin = 0.5 * furnace.muffleToInsulationWattsPerKelvin + furnace.chamberToRoomWattsPerKelvin;
  return (setCelsius, kelvinPerSecond) =>
    (joulesPerKelvin * kelvinPerSecond + wattsPerKelvin * (setCelsius - ROOM_CELSIUS)) / furnace.elementWatts;
}
