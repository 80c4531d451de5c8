import type { RandomStream } from "#simulators/random";

/** A thermocouple with its adapter. */
export interface ProbeCharacter {
  /** First-order lag behind the chamber, s. */
  readonly lagSeconds: number;
  /** Standard deviation of one reading. */
  readonly noiseKelvin: number;
  /** What it reads too high. */
  readonly offsetKelvin: number;
  /** Step of the printed number; 0 prints what was measured. */
  readonly resolutionKelvin: number;
}

/** A thin sheathed thermocouple on an adapter that prints tenths (invented figures). */
export const ORDINARY_PROBE: ProbeCharacter = {
  lagSeconds: 2.5,
  noiseKelvin: 0.3,
  offsetKelvin: 0,
  resolutionKelvin: 0.1,
};

/** Junction temperature after a short time in the chamber, °C. */
export function nextJunctionCelsius(
  junctionCelsius: number,
  chamberCelsius: number,
  lagSeconds: number,
  stepSeconds: number,
): number {
  return (
    junctionCelsius + (chamberCelsius - junctionCelsius) * (stepSeconds / Math.max(lagSeconds, stepSeconds))
  );
}

/** A junction temperature with the probe's offset and noise, before the adapter cuts it into steps, °C. */
export function sensedCelsius(junctionCelsius: number, probe: ProbeCharacter, random: RandomStream): number {
  return junctionCelsius + probe.offsetKelvin + probe.noiseKelvin * random.normal();
}

/** The nearest multiple of a resolution, without the dust of binary fractions. */
export function rounded(value: number, resolution: number): number {
  return resolution > 0 ? Number((Math.round(value / resolution) * resolution).toFixed(6)) : value;
}
