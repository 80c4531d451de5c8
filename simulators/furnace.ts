import { kelvinFromCelsius } from "#core/units";
import type { ControllerTuning } from "#simulators/controller";
import { type Load, loadJoulesPerKelvin, loadRadiatingSquareMetres } from "#simulators/load";
import { randomStream } from "#simulators/random";
import type { PumpCharacter } from "#simulators/vacuum-pump";

/** Stefan–Boltzmann constant, W/(m²·K⁴): CODATA 2018, exact to the digits given. */
export const STEFAN_BOLTZMANN = 5.670374e-8;

/** Temperature of the room, °C. */
export const ROOM_CELSIUS = 22;

/**
 * One furnace, as lumps of heat that are coupled by radiation and conduction. All figures are invented
 * and merely plausible for a furnace of table size.
 *
 *     element ─σT⁴─ muffle ─σT⁴, gas─ chamber ─σT⁴─ ware
 *                     │                  │
 *                 insulation ── room ── opening
 */
export interface FurnaceCharacter {
  /** Heating power when new, W. */
  readonly elementWatts: number;
  /** What is left of it: 1 when new, less as the element ages. */
  readonly elementHealthFraction: number;
  readonly elementJoulesPerKelvin: number;
  readonly muffleJoulesPerKelvin: number;
  readonly chamberJoulesPerKelvin: number;
  readonly insulationJoulesPerKelvin: number;
  /** Areas times emissivity, m². */
  readonly elementToMuffleSquareMetres: number;
  readonly muffleToChamberSquareMetres: number;
  readonly openingSquareMetres: number;
  /** Linear couplings, W/K. */
  readonly muffleToChamberWattsPerKelvin: number;
  readonly muffleToInsulationWattsPerKelvin: number;
  readonly insulationToRoomWattsPerKelvin: number;
  readonly chamberToRoomWattsPerKelvin: number;
  readonly openingWattsPerKelvin: number;
  /** Standard deviation of the mains power about its mean, as a share. */
  readonly mainsRippleFraction: number;
  readonly controller: ControllerTuning;
  readonly pump: PumpCharacter;
}

/** A furnace of no particular faults. */
export const ORDINARY_FURNACE: FurnaceCharacter = {
  elementWatts: 1400,
  elementHealthFraction: 1,
  elementJoulesPerKelvin: 50,
  muffleJoulesPerKelvin: 400,
  chamberJoulesPerKelvin: 35,
  insulationJoulesPerKelvin: 700,
  elementToMuffleSquareMetres: 0.035,
  muffleToChamberSquareMetres: 0.03,
  openingSquareMetres: 0.004,
  muffleToChamberWattsPerKelvin: 1,
  muffleToInsulationWattsPerKelvin: 0.9,
  insulationToRoomWattsPerKelvin: 0.5,
  chamberToRoomWattsPerKelvin: 0.08,
  openingWattsPerKelvin: 0.3,
  mainsRippleFraction: 0.01,
  controller: {
    proportionalPerKelvin: 0.016,
    integralSeconds: 550,
    feedForwardFraction: 0.5,
    sensorLagSeconds: 5,
    sensorOffsetKelvin: 0,
    waitsForTemperature: true,
  },
  pump: { pumpDownSeconds: 14, baseHectopascals: 35, leakHectopascalsPerSecond: 0.4, releaseSeconds: 3 },
};

/**
 * A furnace of its own kind, always the same for the same seed. About one in eight has a tired element,
 * about one in eight a weak pump.
 */
export function furnaceFromSeed(seed: number): FurnaceCharacter {
  const random = randomStream(seed, "furnace");
  const between = (low: number, high: number) => low + (high - low) * random.uniform();
  const isTired = random.uniform() < 0.125;
  const isLeaky = random.uniform() < 0.125;
  const ordinary = ORDINARY_FURNACE;
  return {
    ...ordinary,
    elementWatts: between(1250, 1550),
    elementHealthFraction: isTired ? between(0.52, 0.62) : between(0.85, 1),
    muffleJoulesPerKelvin: between(340, 460),
    insulationJoulesPerKelvin: between(550, 850),
    muffleToInsulationWattsPerKelvin: between(0.8, 1),
    mainsRippleFraction: between(0.005, 0.02),
    controller: {
      proportionalPerKelvin: between(0.012, 0.02),
      integralSeconds: between(400, 700),
      feedForwardFraction: between(0.35, 0.65),
      sensorLagSeconds: between(3, 7),
      sensorOffsetKelvin: between(-3, 3),
      waitsForTemperature: random.uniform() < 0.7,
    },
    pump: {
      ...ordinary.pump,
      pumpDownSeconds: between(10, 18),
      baseHectopascals: isLeaky ? between(75, 130) : between(22, 48),
      leakHectopascalsPerSecond: isLeaky ? between(1.5, 4) : between(0.1, 0.6),
    },
  };
}

/** Temperatures of the lumps, K. Without a load the ware stays at the room's. */
export interface ThermalState {
  readonly elementKelvin: number;
  readonly muffleKelvin: number;
  readonly chamberKelvin: number;
  readonly insulationKelvin: number;
  readonly wareKelvin: number;
}

/** What acts on the lumps. */
export interface ThermalInputs {
  /** Share of the element's power, 0 to 1. */
  readonly dutyFraction: number;
  /** Mains power against its mean. */
  readonly mainsFraction: number;
  /** How far the muffle stands open, 0 to 1. */
  readonly openFraction: number;
  readonly load: Load | null;
}

/** Share of the heat through the opening that leaves the muffle; the rest leaves the chamber. */
const OPENING_FROM_MUFFLE_FRACTION = 0.9;

/** Share of what the ware sees that is still the muffle, when that stands fully open. */
const WARE_SEES_OPEN_MUFFLE_FRACTION = 0.15;

const ROOM_KELVIN = kelvinFromCelsius(ROOM_CELSIUS);

/** Heating power that reaches the element, W: never more than it has left. */
export function heatingWatts(inputs: ThermalInputs, furnace: FurnaceCharacter): number {
  const duty = Math.min(1, Math.max(0, inputs.dutyFraction));
  return duty * furnace.elementWatts * furnace.elementHealthFraction * inputs.mainsFraction;
}

/**
 * The lumps after a short time, by one explicit step.
 * @param stepSeconds well below the shortest time constant, which is about 4 s
 */
export function nextThermalState(
  state: ThermalState,
  inputs: ThermalInputs,
  furnace: FurnaceCharacter,
  stepSeconds: number,
): ThermalState {
  const { elementKelvin, muffleKelvin, chamberKelvin, insulationKelvin, wareKelvin } = state;
  const intoElement = heatingWatts(inputs, furnace);
  const elementToMuffle = radiatedWatts(furnace.elementToMuffleSquareMetres, elementKelvin, muffleKelvin);
  const muffleToChamber =
    radiatedWatts(furnace.muffleToChamberSquareMetres, muffleKelvin, chamberKelvin) +
    furnace.muffleToChamberWattsPerKelvin * (muffleKelvin - chamberKelvin);
  const muffleToInsulation = furnace.muffleToInsulationWattsPerKelvin * (muffleKelvin - insulationKelvin);
  const insulationToRoom = furnace.insulationToRoomWattsPerKelvin * (insulationKelvin - ROOM_KELVIN);
  const chamberToRoom = furnace.chamberToRoomWattsPerKelvin * (chamberKelvin - ROOM_KELVIN);
  const muffleOut = OPENING_FROM_MUFFLE_FRACTION * openingWatts(muffleKelvin, inputs.openFraction, furnace);
  const chamberOut =
    (1 - OPENING_FROM_MUFFLE_FRACTION) * openingWatts(chamberKelvin, inputs.openFraction, furnace);
  const ware = wareWatts(state, inputs);
  const muffle = elementToMuffle - muffleToChamber - muffleToInsulation - muffleOut;
  const chamber = muffleToChamber - chamberToRoom - chamberOut - ware.fromChamber;
  return {
    elementKelvin: warmed(
      elementKelvin,
      intoElement - elementToMuffle,
      furnace.elementJoulesPerKelvin,
      stepSeconds,
    ),
    muffleKelvin: warmed(muffleKelvin, muffle, furnace.muffleJoulesPerKelvin, stepSeconds),
    chamberKelvin: warmed(chamberKelvin, chamber, furnace.chamberJoulesPerKelvin, stepSeconds),
    insulationKelvin: warmed(
      insulationKelvin,
      muffleToInsulation - insulationToRoom,
      furnace.insulationJoulesPerKelvin,
      stepSeconds,
    ),
    wareKelvin: inputs.load
      ? warmed(wareKelvin, ware.fromChamber - ware.toRoom, loadJoulesPerKelvin(inputs.load), stepSeconds)
      : ROOM_KELVIN,
  };
}

/** The lumps of a furnace that has stood by at a temperature for long, and the duty that it takes. */
export function restingState(
  celsius: number,
  furnace: FurnaceCharacter,
): { readonly thermal: ThermalState; readonly dutyFraction: number } {
  const chamberKelvin = kelvinFromCelsius(celsius);
  const chamberWatts = furnace.chamberToRoomWattsPerKelvin * (chamberKelvin - ROOM_KELVIN);
  const muffleKelvin = muffleKelvinThatGives(chamberWatts, chamberKelvin, furnace);
  const inner = furnace.muffleToInsulationWattsPerKelvin;
  const outer = furnace.insulationToRoomWattsPerKelvin;
  const insulationWatts = ((inner * outer) / (inner + outer)) * (muffleKelvin - ROOM_KELVIN);
  const watts = chamberWatts + insulationWatts;
  const elementFourth = muffleKelvin ** 4 + watts / (STEFAN_BOLTZMANN * furnace.elementToMuffleSquareMetres);
  return {
    thermal: {
      elementKelvin: elementFourth ** 0.25,
      muffleKelvin,
      chamberKelvin,
      insulationKelvin: muffleKelvin - insulationWatts / inner,
      wareKelvin: ROOM_KELVIN,
    },
    dutyFraction: watts / (furnace.elementWatts * furnace.elementHealthFraction),
  };
}

/** The muffle that passes so much heat on to a chamber, K: by Newton, which converges in a few turns. */
function muffleKelvinThatGives(watts: number, chamberKelvin: number, furnace: FurnaceCharacter): number {
  const { muffleToChamberSquareMetres: squareMetres, muffleToChamberWattsPerKelvin: wattsPerKelvin } =
    furnace;
  let muffleKelvin = chamberKelvin;
  for (let turn = 0; turn < 6; turn += 1) {
    const given =
      radiatedWatts(squareMetres, muffleKelvin, chamberKelvin) +
      wattsPerKelvin * (muffleKelvin - chamberKelvin);
    const slope = 4 * STEFAN_BOLTZMANN * squareMetres * muffleKelvin ** 3 + wattsPerKelvin;
    muffleKelvin += (watts - given) / slope;
  }
  return muffleKelvin;
}

function warmed(kelvin: number, watts: number, joulesPerKelvin: number, seconds: number): number {
  return kelvin + (watts / joulesPerKelvin) * seconds;
}

function radiatedWatts(squareMetres: number, fromKelvin: number, toKelvin: number): number {
  const [from, to] = [fromKelvin * fromKelvin, toKelvin * toKelvin];
  return STEFAN_BOLTZMANN * squareMetres * (from * from - to * to);
}

function openingWatts(kelvin: number, openFraction: number, furnace: FurnaceCharacter): number {
  if (openFraction === 0) return 0;
  return (
    openFraction *
    (radiatedWatts(furnace.openingSquareMetres, kelvin, ROOM_KELVIN) +
      furnace.openingWattsPerKelvin * (kelvin - ROOM_KELVIN))
  );
}

/** Heat into the ware from the chamber and out of it to the room, W. */
function wareWatts(
  { chamberKelvin, wareKelvin }: ThermalState,
  { load, openFraction }: ThermalInputs,
): { fromChamber: number; toRoom: number } {
  if (!load) return { fromChamber: 0, toRoom: 0 };
  const squareMetres = loadRadiatingSquareMetres(load);
  const seesMuffle = 1 - (1 - WARE_SEES_OPEN_MUFFLE_FRACTION) * openFraction;
  return {
    fromChamber: radiatedWatts(seesMuffle * squareMetres, chamberKelvin, wareKelvin),
    toRoom: radiatedWatts((1 - seesMuffle) * squareMetres, wareKelvin, ROOM_KELVIN),
  };
}
