import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { ICE_POINT_KELVIN } from "#core/units";
import {
  type FurnaceCharacter,
  furnaceFromSeed,
  heatingWatts,
  nextThermalState,
  ORDINARY_FURNACE,
  ROOM_CELSIUS,
  restingState,
  type ThermalInputs,
  type ThermalState,
} from "#simulators/furnace";
import { loadJoulesPerKelvin, SMALL_LOAD } from "#simulators/load";

const ROOM_KELVIN = ROOM_CELSIUS + ICE_POINT_KELVIN;
const STEP_SECONDS = 0.1;
const OFF: ThermalInputs = { dutyFraction: 0, mainsFraction: 1, openFraction: 0, load: null };

const kelvins = fc.double({ min: 300, max: 1300, noNaN: true });
const states = fc.record<ThermalState>({
  elementKelvin: kelvins,
  muffleKelvin: kelvins,
  chamberKelvin: kelvins,
  insulationKelvin: kelvins,
  wareKelvin: kelvins,
});
const seeds = fc.nat(10_000);

describe("the furnace", () => {
  it.prop([states, seeds, fc.double({ min: 0, max: 1, noNaN: true })])(
    "keeps the energy: what is heated in and does not leave to the room is stored",
    (state, seed, dutyFraction) => {
      const furnace = furnaceFromSeed(seed);
      const inputs = { ...OFF, dutyFraction, load: SMALL_LOAD };
      const next = nextThermalState(state, inputs, furnace, STEP_SECONDS);
      const lostWatts =
        furnace.chamberToRoomWattsPerKelvin * (state.chamberKelvin - ROOM_KELVIN) +
        furnace.insulationToRoomWattsPerKelvin * (state.insulationKelvin - ROOM_KELVIN);
      const storedWatts = (storedJoules(next, furnace) - storedJoules(state, furnace)) / STEP_SECONDS;
      expect(storedWatts).toBeCloseTo(heatingWatts(inputs, furnace) - lostWatts, 3);
    },
  );

  it.prop([states, seeds])("loses more with the muffle open than shut", (state, seed) => {
    const furnace = furnaceFromSeed(seed);
    const shut = nextThermalState(state, OFF, furnace, STEP_SECONDS);
    const open = nextThermalState(state, { ...OFF, openFraction: 1 }, furnace, STEP_SECONDS);
    expect(storedJoules(open, furnace)).toBeLessThan(storedJoules(shut, furnace));
  });

  it("radiates by the law of Stefan and Boltzmann", () => {
    // By hand: σ · 0.035 m² · (1100⁴ − 1000⁴) K⁴ = 5.670374e-8 · 0.035 · 4.641e11 = 921.067 W, out of 50 J/K.
    const state = resting(1000 - ICE_POINT_KELVIN, ORDINARY_FURNACE);
    const hot = { ...state, elementKelvin: 1100, muffleKelvin: 1000 };
    const next = nextThermalState(hot, OFF, ORDINARY_FURNACE, 1);
    expect((1100 - next.elementKelvin) * 50).toBeCloseTo(921.067, 2);
  });

  it.prop([seeds, fc.integer({ min: 200, max: 900 })], { numRuns: 30 })(
    "stays where it is when it has stood by for long",
    (seed, celsius) => {
      const furnace = furnaceFromSeed(seed);
      const { thermal, dutyFraction } = restingState(celsius, furnace);
      const after = lasting(600, thermal, { ...OFF, dutyFraction }, furnace);
      expect(after.chamberKelvin - ICE_POINT_KELVIN).toBeCloseTo(celsius, 6);
    },
  );

  it.prop([seeds])(
    "only ever cools with the muffle open and the element off, never below the room",
    (seed) => {
      const furnace = furnaceFromSeed(seed);
      let state = resting(760, furnace);
      for (let minute = 0; minute < 30; minute += 1) {
        const next = lasting(60, state, { ...OFF, openFraction: 1 }, furnace);
        expect(next.chamberKelvin).toBeLessThan(state.chamberKelvin);
        state = next;
      }
      expect(state.chamberKelvin).toBeGreaterThan(ROOM_KELVIN);
    },
  );

  it.prop([seeds, fc.double({ min: -5, max: 5, noNaN: true })])(
    "heats with no more than the element has left, and never cools with it",
    (seed, dutyFraction) => {
      const furnace = furnaceFromSeed(seed);
      const watts = heatingWatts({ ...OFF, dutyFraction }, furnace);
      expect(watts).toBeGreaterThanOrEqual(0);
      expect(watts).toBeLessThanOrEqual(furnace.elementWatts * furnace.elementHealthFraction);
    },
  );

  it("climbs more slowly with a tired element", () => {
    const climbed = (elementHealthFraction: number) => {
      const furnace = { ...ORDINARY_FURNACE, elementHealthFraction };
      return lasting(120, resting(510, furnace), { ...OFF, dutyFraction: 1 }, furnace).chamberKelvin;
    };
    expect(climbed(1)).toBeGreaterThan(climbed(0.8));
    expect(climbed(0.8)).toBeGreaterThan(climbed(0.6));
  });

  it("is the same again for the same seed, another one for another", () => {
    expect(furnaceFromSeed(4)).toEqual(furnaceFromSeed(4));
    expect(furnaceFromSeed(4)).not.toEqual(furnaceFromSeed(5));
  });
});

describe("the ware", () => {
  it("is as warm as the chamber in the end, the heavier the later", () => {
    const missingKelvin = (seconds: number, grams: number) => {
      const load = { ...SMALL_LOAD, grams };
      const { thermal, dutyFraction } = restingState(700, ORDINARY_FURNACE);
      const cold = { ...thermal, wareKelvin: ROOM_KELVIN };
      const { chamberKelvin, wareKelvin } = lasting(
        seconds,
        cold,
        { ...OFF, dutyFraction, load },
        ORDINARY_FURNACE,
      );
      return chamberKelvin - wareKelvin;
    };
    expect(missingKelvin(1800, 25)).toBeCloseTo(0, 0);
    expect(missingKelvin(60, 25)).toBeGreaterThan(20);
    expect(missingKelvin(60, 100)).toBeGreaterThan(missingKelvin(60, 25));
  });
});

function resting(celsius: number, furnace: FurnaceCharacter): ThermalState {
  return restingState(celsius, furnace).thermal;
}

function lasting(
  seconds: number,
  from: ThermalState,
  inputs: ThermalInputs,
  furnace: FurnaceCharacter,
): ThermalState {
  let state = from;
  for (let step = 0; step < Math.round(seconds / STEP_SECONDS); step += 1)
    state = nextThermalState(state, inputs, furnace, STEP_SECONDS);
  return state;
}

function storedJoules(state: ThermalState, furnace: FurnaceCharacter): number {
  return (
    state.elementKelvin * furnace.elementJoulesPerKelvin +
    state.muffleKelvin * furnace.muffleJoulesPerKelvin +
    state.chamberKelvin * furnace.chamberJoulesPerKelvin +
    state.insulationKelvin * furnace.insulationJoulesPerKelvin +
    state.wareKelvin * loadJoulesPerKelvin(SMALL_LOAD)
  );
}
