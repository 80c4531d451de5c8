/** How the chart's height and type are shared out, CSS px. */
export interface ChartLayout {
  readonly fontPixels: number;
  readonly paddingTop: number;
  readonly paddingRight: number;
  readonly timeAxisHeight: number;
  readonly temperatureAxisWidth: number;
  /** Under the curve, above the time axis; 0 where there is nothing to show or no room. */
  readonly vacuumHeight: number;
  readonly heatWorkHeight: number;
  readonly inset: { readonly width: number; readonly height: number };
}

/** A chart lower or narrower than this is drawn in small type. */
const ROOMY_WIDTH = 560;
const ROOMY_HEIGHT = 360;
const LOWEST_WITH_HEAT_WORK = 220;

/**
 * The layout for a size.
 * @param shows what there is to show under the curve
 */
export function chartLayout(
  width: number,
  height: number,
  shows: { readonly vacuum: boolean; readonly heatWork: boolean },
): ChartLayout {
  const isRoomy = width >= ROOMY_WIDTH && height >= ROOMY_HEIGHT;
  const heatWorkHeight = isRoomy ? Math.min(96, Math.round(height * 0.18)) : 58;
  return {
    fontPixels: isRoomy ? 17 : 14,
    paddingTop: isRoomy ? 22 : 19,
    paddingRight: isRoomy ? 32 : 24,
    timeAxisHeight: isRoomy ? 32 : 26,
    temperatureAxisWidth: isRoomy ? 58 : 44,
    vacuumHeight: shows.vacuum ? (isRoomy ? 34 : 26) : 0,
    heatWorkHeight: shows.heatWork && height >= LOWEST_WITH_HEAT_WORK ? heatWorkHeight : 0,
    inset: {
      width: Math.min(340, Math.max(230, width * 0.38)),
      height: Math.min(220, Math.max(130, height * 0.4)),
    },
  };
}
