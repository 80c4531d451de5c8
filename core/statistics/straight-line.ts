/** A point to lay a line through. */
export interface LinePoint {
  readonly x: number;
  readonly y: number;
}

/** A straight line by ordinary least squares: y = intercept + slope·(x − atX). */
export interface StraightLine {
  readonly atX: number;
  readonly intercept: number;
  readonly slope: number;
  /** Standard uncertainties of the two, and their correlation. */
  readonly interceptStandardError: number;
  readonly slopeStandardError: number;
  readonly correlation: number;
  /** Of one point about the line. */
  readonly residualStandardDeviation: number;
  readonly degreesOfFreedom: number;
}

/**
 * The straight line through points by ordinary least squares, with its uncertainties (GUM, JCGM 100:2008,
 * annex H.3, equations H.13a to H.13f).
 * @param points at least three, not all at one x
 * @param atX    the x at which the intercept is given; elsewhere it would only say more about less
 * @throws RangeError for fewer points, or all at one x
 * @example straightLine([{ x: 0, y: 1 }, { x: 1, y: 3 }, { x: 2, y: 5 }], 0).slope // 2
 */
export function straightLine(points: readonly LinePoint[], atX: number): StraightLine {
  if (points.length < 3) throw new RangeError(`straightLine requires 3 points or more, got ${points.length}`);
  const count = points.length;
  const meanX = points.reduce((sum, { x }) => sum + (x - atX), 0) / count;
  const meanY = points.reduce((sum, { y }) => sum + y, 0) / count;
  const spreadX = points.reduce((sum, { x }) => sum + (x - atX - meanX) ** 2, 0);
  if (spreadX === 0) throw new RangeError("straightLine requires points at more than one x");
  const slope = points.reduce((sum, { x, y }) => sum + (x - atX - meanX) * (y - meanY), 0) / spreadX;
  const intercept = meanY - slope * meanX;
  const degreesOfFreedom = count - 2;
  const squares = points.reduce((sum, { x, y }) => sum + (y - intercept - slope * (x - atX)) ** 2, 0);
  const residualStandardDeviation = Math.sqrt(squares / degreesOfFreedom);
  const meanSquareX = spreadX / count + meanX ** 2;
  return {
    atX,
    intercept,
    slope,
    interceptStandardError: residualStandardDeviation * Math.sqrt(meanSquareX / spreadX),
    slopeStandardError: residualStandardDeviation / Math.sqrt(spreadX),
    correlation: -meanX / Math.sqrt(meanSquareX),
    residualStandardDeviation,
    degreesOfFreedom,
  };
}

/**
 * The line at an x, with its standard uncertainty (GUM H.3.4, equation H.15; the two parameters correlate).
 * @example lineAt(straightLine([{ x: 0, y: 1 }, { x: 1, y: 3 }, { x: 2, y: 5 }], 0), 4).y // 9
 */
export function lineAt(
  line: StraightLine,
  x: number,
): { readonly y: number; readonly standardError: number } {
  const away = x - line.atX;
  const variance =
    line.interceptStandardError ** 2 +
    (away * line.slopeStandardError) ** 2 +
    2 * away * line.correlation * line.interceptStandardError * line.slopeStandardError;
  return { y: line.intercept + line.slope * away, standardError: Math.sqrt(Math.max(0, variance)) };
}
