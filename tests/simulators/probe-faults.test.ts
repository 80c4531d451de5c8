import { describe, expect, it } from "vitest";
import { FaultyAdapter, PROBE_FAULTS, type ProbeFault } from "#simulators/probe-faults";
import { benchReading } from "#tests/helpers/bench-reading";

describe("a thermocouple with a fault", () => {
  it("says what a healthy one does before and after each of them", () => {
    const adapter = adapterWith(null);
    const well = adapter.say(benchReading());
    expect(well).toMatchObject({ isTouched: false, reading: { celsius: 510, sensorWord: null } });
    for (const fault of PROBE_FAULTS) {
      adapter.setFault(fault);
      adapter.say(benchReading({ celsius: 900 }));
      adapter.setFault(null);
      expect(adapter.say(benchReading())).toEqual(well);
    }
  });

  it.each([
    { fault: "open-circuit" as const, sensorWord: "open-circuit" },
    { fault: "over-range" as const, sensorWord: "above-range" },
  ])("says $sensorWord and no EMF when $fault", ({ fault, sensorWord }) => {
    const { reading, isTouched } = adapterWith(fault).say(benchReading());
    expect(reading).toMatchObject({ celsius: null, sensorWord, millivolts: null, coldJunctionCelsius: 24 });
    expect(isTouched).toBe(true);
  });

  it("repeats all of itself when frozen, while time goes on", () => {
    const adapter = adapterWith("frozen");
    const first = adapter.say(benchReading()).reading;
    const later = adapter.say(
      benchReading({ elapsedSeconds: 9, celsius: 600, coldJunctionCelsius: 30 }),
    ).reading;
    expect(later).toEqual({ ...first, elapsedSeconds: 9 });
  });

  it("falls below the cold junction as the furnace heats when reversed, then below its range", () => {
    const readings = [24, 60, 100, 150, 510].map(
      (celsius) => adapterWith("reversed").say(benchReading({ celsius })).reading,
    );
    const [cold = 0, warm = 0, hot = 0] = readings.map((reading) => reading?.celsius ?? Number.NaN);
    expect(cold).toBeCloseTo(24, 6);
    expect(warm).toBeLessThan(0);
    expect(hot).toBeLessThan(warm - 30);
    expect(readings[4]).toMatchObject({ celsius: null, sensorWord: "below-range" });
    expect(readings[4]?.millivolts).toBeLessThan(-19);
  });

  it("reads the cold junction when short", () => {
    const { reading } = adapterWith("short").say(benchReading({ celsius: 760, coldJunctionCelsius: 25.3 }));
    expect(reading).toMatchObject({ celsius: 25.3, millivolts: 0 });
  });

  it("is right cold and wrong hot when of another type", () => {
    const at = (celsius: number) => adapterWith("wrong-type").say(benchReading({ celsius })).reading?.celsius;
    expect(at(24)).toBeCloseTo(24, 6);
    // NIST SRD 60: S has 9.128 mV at 960 °C; K has 8.940 mV at 220 °C and 9.343 mV at 230 °C.
    const adapter = adapterWith("wrong-type");
    const { reading } = adapter.say(benchReading({ celsius: 960, coldJunctionCelsius: 0 }));
    expect(reading?.celsius).toBeCloseTo(220 + (10 * (9.128 - 8.94)) / (9.343 - 8.94), 0);
  });

  it("takes another element where it is told so, and never its own type", () => {
    const said = (type: "K" | "S" | "N", wrongElement?: "N" | "K") => {
      const adapter = new FaultyAdapter({ type, wrongElement, resolutionKelvin: 0.1, seed: 1 });
      adapter.setFault("wrong-type");
      return adapter.say(benchReading({ celsius: 500, coldJunctionCelsius: 0 })).reading;
    };
    expect(said("K", "N")?.millivolts).toBeCloseTo(16.748, 3); // NIST SRD 60
    expect(said("S")?.sensorWord).toBe("above-range"); // A type K element on an adapter for S.
    expect(said("K", "K")).toEqual(said("K"));
  });

  it("has lone wild readings with spikes, about one a minute", () => {
    const adapter = adapterWith("spikes");
    const wild = seconds(6000).filter(
      (at) => adapter.say(benchReading({ elapsedSeconds: at, celsius: 700 })).isTouched,
    );
    expect(wild.length).toBeGreaterThan(60);
    expect(wild.length).toBeLessThan(140);
  });

  it("jumps away and back when intermittent, oftener when hot", () => {
    const episodes = (celsius: number) => {
      const adapter = adapterWith("intermittent");
      const touched = seconds(3000).map(
        (at) => adapter.say(benchReading({ elapsedSeconds: at, celsius })).isTouched,
      );
      return touched.filter((isAway, index) => isAway && touched[index - 1] !== true).length;
    };
    const perMinute = [150, 500, 900].map((celsius) => episodes(celsius) / 50);
    const [warm = 0, hot = 0, hottest = 0] = perMinute;
    expect(hot).toBeGreaterThan(1.5 * warm);
    expect(hottest).toBeGreaterThan(1.2 * hot);
    expect(hottest).toBeGreaterThan(3);
  });

  it("leaves readings out when it drops out, and says some without a value", () => {
    const adapter = adapterWith("drop-outs");
    const said = seconds(2000).map((at) => adapter.say(benchReading({ elapsedSeconds: at })).reading);
    const missing = said.filter((reading) => reading === null).length;
    const valueless = said.filter((reading) => reading?.sensorWord === "no-value").length;
    expect(Math.abs(missing - 500)).toBeLessThan(100);
    expect(Math.abs(valueless - 200)).toBeLessThan(70);
  });

  it("keeps the cold junction of the moment when that is stuck, and is off by what it drifts", () => {
    const adapter = adapterWith("cold-stuck");
    expect(adapter.say(benchReading({ celsius: 700 })).isTouched).toBe(false);
    const { reading, isTouched } = adapter.say(benchReading({ celsius: 700, coldJunctionCelsius: 27 }));
    expect(reading?.coldJunctionCelsius).toBe(24);
    // 3 K of the cold junction are 0.12 mV for type K, and as many K again near 700 °C.
    expect(reading?.celsius).toBeGreaterThan(696.5);
    expect(reading?.celsius).toBeLessThan(697.7);
    expect(isTouched).toBe(true);
  });

  it("adds 61 K of cold junction when that is wild", () => {
    const { reading } = adapterWith("cold-wild").say(benchReading({ celsius: 700 }));
    expect(reading?.coldJunctionCelsius).toBe(85);
    expect(Math.abs((reading?.celsius ?? 0) - 760)).toBeLessThan(3);
  });
});

function adapterWith(fault: ProbeFault | null): FaultyAdapter {
  const adapter = new FaultyAdapter({ type: "K", resolutionKelvin: 0.1, seed: 1 });
  adapter.setFault(fault);
  return adapter;
}

function seconds(count: number): number[] {
  return Array.from({ length: count }, (_, index) => index);
}
