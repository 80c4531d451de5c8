/**
 * Grades on one ordered scale against one number: proportional odds.
 *
 *     P(grade ≤ j) = 1/(1 + exp[−(c_j − s·x)])          c_1 < c_2 < …, s > 0
 *
 *     x   what the grade follows, here ln of a heat work     s   slope: how sharply grades change, per unit of x
 *     c_j cut points: grade j and the next are equally likely where x = c_j/s
 *
 * Most likely constants by Newton's method. With F the logistic function and u, l the cuts above and below a grade
 * less s·x, its likelihood is F(u) − F(l) = F(u)·(1 − F(l))·(1 − e^(l−u)), whose logarithm is concave in c and s: there is
 * one top, and Newton with halved steps finds it.
 *
 * Prior, so that the slope stays finite where a single x separates the grades: s as if from a gamma distribution of
 * shape 2 whose mode is `usualSlope` (half of its weight between 1 and 2.7 times that). It is worth about one observation.
 * Source: McCullagh, J. R. Stat. Soc. B 42 (1980) 109 (from memory); the factorisation above is plain algebra.
 * Limits: one slope for all cut points; grades that never came have no cut of their own.
 */
export interface GradedPoint {
  readonly x: number;
  /** 0 for the lowest grade, and on without holes: every grade up to the highest has to occur. */
  readonly rank: number;
}

/** Most likely constants. */
export interface OrdinalLogit {
  /** Where each grade and the next are equally likely, in x. */
  readonly cuts: readonly number[];
  readonly slope: number;
  /** ln of the likelihood at the top, without the prior and with it. */
  readonly logLikelihood: number;
  readonly logPosterior: number;
}

/** One part of the log posterior: a concave function of one straight combination of the constants. */
interface Part {
  /** The combination's weights, in the order c_1, …, c_K, s. */
  readonly along: readonly number[];
  readonly value: number;
  readonly first: number;
  readonly second: number;
}

/** Value, gradient and Hessian of the log posterior. */
interface Slope {
  readonly logLikelihood: number;
  readonly logPosterior: number;
  readonly gradient: readonly number[];
  readonly hessian: readonly (readonly number[])[];
}

/**
 * The most likely cut points and slope.
 * @param points      at least one of each rank from 0 to the highest, which is 1 or more
 * @param usualSlope  mode of the prior on the slope
 * @throws RangeError when a rank is missing, or there is only one
 */
export function ordinalLogit(points: readonly GradedPoint[], usualSlope: number): OrdinalLogit {
  const counts = countsOf(points);
  const centre = points.reduce((sum, { x }) => sum + x, 0) / points.length;
  const centred = points.map(({ x, rank }) => ({ x: x - centre, rank }));
  let constants: readonly number[] = [...startCuts(counts), usualSlope];
  let here = slopeAt(centred, constants, usualSlope);
  for (let step = 0; step < 100; step++) {
    const next = improved(centred, constants, here, usualSlope);
    const gain = next.here.logPosterior - here.logPosterior;
    ({ constants, here } = next);
    if (gain < 1e-10) break;
  }
  const slope = constants.at(-1) ?? usualSlope;
  return {
    cuts: constants.slice(0, -1).map((cut) => centre + cut / slope),
    slope,
    logLikelihood: here.logLikelihood,
    logPosterior: here.logPosterior,
  };
}

function countsOf(points: readonly GradedPoint[]): number[] {
  const highest = points.reduce((most, { rank }) => Math.max(most, rank), 0);
  const counts = Array.from(
    { length: highest + 1 },
    (_, rank) => points.filter((one) => one.rank === rank).length,
  );
  if (counts.length < 2 || counts.includes(0))
    throw new RangeError(
      `ordinal logit requires two ranks or more without holes, got ${counts.join(", ")} of each`,
    );
  return counts;
}

/** Cuts that give every grade its share, if x told nothing. */
function startCuts(counts: readonly number[]): number[] {
  const total = counts.reduce((sum, count) => sum + count, 0);
  let below = 0;
  return counts.slice(0, -1).map((count) => {
    below += count;
    return Math.log(below / (total - below));
  });
}

/** One Newton step, halved until it is uphill and keeps the cuts in order. */
function improved(
  points: readonly GradedPoint[],
  constants: readonly number[],
  here: Slope,
  usualSlope: number,
): { constants: readonly number[]; here: Slope } {
  const step = solved(here.hessian, here.gradient);
  for (let share = 1; share > 1e-9; share /= 2) {
    const tried = constants.map((constant, index) => constant - share * (step[index] ?? 0));
    if (!isInOrder(tried)) continue;
    const there = slopeAt(points, tried, usualSlope);
    if (there.logPosterior >= here.logPosterior) return { constants: tried, here: there };
  }
  return { constants, here };
}

function isInOrder(constants: readonly number[]): boolean {
  const cuts = constants.slice(0, -1);
  return (
    (constants.at(-1) ?? 0) > 0 && cuts.every((cut, index) => index === 0 || cut > (cuts[index - 1] ?? cut))
  );
}

function slopeAt(points: readonly GradedPoint[], constants: readonly number[], usualSlope: number): Slope {
  const likelihood = points.flatMap((point) => partsOf(point, constants));
  const prior = priorPart(constants, usualSlope);
  const gradient = constants.map(() => 0);
  const hessian = constants.map(() => constants.map(() => 0));
  for (const part of [...likelihood, prior]) addTo(gradient, hessian, part);
  const logLikelihood = likelihood.reduce((sum, { value }) => sum + value, 0);
  return { logLikelihood, logPosterior: logLikelihood + prior.value, gradient, hessian };
}

/** ln F(u), ln(1 − F(l)) and ln(1 − e^(l−u)), as far as the grade has a cut above and below. */
function partsOf({ x, rank }: GradedPoint, constants: readonly number[]): Part[] {
  const last = constants.length - 1;
  const slope = constants[last] ?? 0;
  const parts: Part[] = [];
  const cutAlong = (cut: number) =>
    constants.map((_, index) => (index === last ? -x : Number(index === cut)));
  const upper = (constants[rank] ?? 0) - slope * x;
  const lower = (constants[rank - 1] ?? 0) - slope * x;
  if (rank < last) parts.push({ along: cutAlong(rank), ...logLogistic(upper, 1) });
  if (rank > 0) parts.push({ along: cutAlong(rank - 1), ...logLogistic(lower, -1) });
  if (rank > 0 && rank < last) {
    const along = constants.map((_, index) => Number(index === rank) - Number(index === rank - 1));
    parts.push({ along, ...logWidth(upper - lower) });
  }
  return parts;
}

/** ln F(v), or of the mirror image ln F(−v) = ln(1 − F(v)) for the sign −1. */
function logLogistic(value: number, sign: 1 | -1) {
  const against = 1 / (1 + Math.exp(sign * value));
  return { value: -softplus(-sign * value), first: sign * against, second: -against * (1 - against) };
}

/** ln(1 − e^(−w)) */
function logWidth(width: number) {
  const odds = 1 / Math.expm1(width);
  return { value: Math.log(-Math.expm1(-width)), first: odds, second: -odds * (1 + odds) };
}

/** Gamma distribution of shape 2, up to a constant: ln s − s/usual. */
function priorPart(constants: readonly number[], usualSlope: number): Part {
  const last = constants.length - 1;
  const slope = constants[last] ?? usualSlope;
  return {
    along: constants.map((_, index) => Number(index === last)),
    value: Math.log(slope / usualSlope) - slope / usualSlope,
    first: 1 / slope - 1 / usualSlope,
    second: -1 / slope ** 2,
  };
}

function addTo(gradient: number[], hessian: number[][], { along, first, second }: Part): void {
  for (const [row, weight] of along.entries()) {
    if (weight === 0) continue;
    gradient[row] = (gradient[row] ?? 0) + first * weight;
    const cells = hessian[row] ?? [];
    for (const [column, other] of along.entries())
      cells[column] = (cells[column] ?? 0) + second * weight * other;
  }
}

/** ln(1 + e^v), without overflow. */
function softplus(value: number): number {
  return Math.max(value, 0) + Math.log1p(Math.exp(-Math.abs(value)));
}

/** Linear equations by elimination with the largest pivot. */
function solved(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const rows = matrix.map((row, index) => [...row, right[index] ?? 0]);
  for (let column = 0; column < rows.length; column++) {
    const pivot = rows
      .slice(column)
      .reduce((best, row) => (Math.abs(row[column] ?? 0) > Math.abs(best[column] ?? 0) ? row : best));
    const others = rows.filter((row) => row !== pivot);
    rows.splice(0, rows.length, ...others.slice(0, column), pivot, ...others.slice(column));
    for (const row of rows)
      if (row !== pivot) subtract(row, pivot, (row[column] ?? 0) / (pivot[column] ?? 1));
  }
  return rows.map((row, index) => (row.at(-1) ?? 0) / (row[index] ?? 1));
}

function subtract(row: number[], pivot: readonly number[], times: number): void {
  for (const [index, value] of pivot.entries()) row[index] = (row[index] ?? 0) - times * value;
}
