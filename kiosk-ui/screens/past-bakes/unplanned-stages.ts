import { noiseKelvin } from "#core/trace/noise";
import { type Segment, segments } from "#core/trace/segments";
import { smoothed } from "#core/trace/smooth";
import type { Trace } from "#core/trace/trace";
import { durationText, rateText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";

/** A bake without a plan shows no more stages than this: what ripples longer is no bake. */
const MOST_STAGES = 20;

/**
 * What a bake without a plan did, stage by stage, in words: "Climbed from 510 °C to 760 °C at 45 K/min".
 * @param trace °C over seconds, raw
 * @returns empty when there is too little to tell
 */
export function unplannedStages(trace: Trace, unit: TemperatureUnit): string[] {
  return segments(smoothed(trace, noiseKelvin(trace)))
    .slice(0, MOST_STAGES)
    .map((segment) => segmentText(segment, unit));
}

function segmentText(segment: Segment, unit: TemperatureUnit): string {
  const from = temperatureWithUnit(segment.fromCelsius, unit);
  const to = temperatureWithUnit(segment.toCelsius, unit);
  const length = durationText(segment.toSeconds - segment.fromSeconds);
  const rate = rateText(Math.abs(segment.kelvinPerMinute), unit);
  switch (segment.kind) {
    case "climb":
      return words.climbed(from, to, rate);
    case "hold":
      return words.held(to, length);
    case "cool":
      return words.cooled(from, to, rate);
  }
}
