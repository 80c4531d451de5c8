/** A fit that has too few bakes to begin with. */
export function tooFewWords(bakes: number, fewest: number): string {
  const so = bakes === 0 ? "No graded bake" : `Only ${counted(bakes, "graded bake")}`;
  return `${so} to go by: a fit needs ${fewest} or more.`;
}

/** A fit that saw no difference. */
export function oneGradeWords(bakes: number, grade: string): string {
  return `All ${bakes} bakes came out ${grade}: a fit needs bakes with another grade, to see where ${grade} ends.`;
}

/** A fit whose grades might as well have been drawn by lot. */
export function aimlessWords(bakes: number): string {
  return `The grades of these ${bakes} bakes do not clearly follow their heat work: a fit needs more bakes, or bakes whose tops and holds lie further apart.`;
}

/**
 * The activation energy that came out, or that none did and which one stays.
 * @param joulesPerMole  J/mol
 * @param interval       that holds 90 % of its likelihood, J/mol; null when the bakes do not tell the energy
 * @example energyWords(24, 311_000, { low: 268_000, high: 357_000 }) // "From 24 graded bakes: activation energy 311 kJ/mol, with 90 % likelihood between 268 and 357."
 */
export function energyWords(
  bakes: number,
  joulesPerMole: number,
  interval: { readonly low: number; readonly high: number } | null,
): string {
  const kilojoules = (joules: number) => Math.round(joules / 1000);
  if (!interval)
    return `From ${bakes} graded bakes. They are too much alike to tell the activation energy, so it stays ${kilojoules(joulesPerMole)} kJ/mol: short hot bakes beside long cooler ones would tell.`;
  return `From ${bakes} graded bakes: activation energy ${kilojoules(joulesPerMole)} kJ/mol, with 90 % likelihood between ${kilojoules(interval.low)} and ${kilojoules(interval.high)}.`;
}

/**
 * The window that came out.
 * @example windowWords({ leastEquivalentSeconds: 75.8, mostEquivalentSeconds: 228 }, 760) // "Right from 76 to 228 s at 760 °C."
 */
export function windowWords(
  window: { readonly leastEquivalentSeconds: number; readonly mostEquivalentSeconds: number },
  referenceCelsius: number,
): string {
  const [least, most] = [window.leastEquivalentSeconds, window.mostEquivalentSeconds].map(Math.round);
  return `Right from ${least} to ${most} s at ${referenceCelsius} °C.`;
}

/** Why there is no window: which bakes are wanting. */
export function noWindowWords(wanting: "right" | "too-little" | "too-much"): string {
  if (wanting === "right") return "No window: none of them came out right.";
  return wanting === "too-much"
    ? "No window: none had too much heat, so nothing shows where right ends."
    : "No window: none had too little heat, so nothing shows where right begins.";
}

/**
 * Which bakes were left out, and why.
 * @example leftOutWords(1, 0) // ["1 bake with a vacuum fault left out: milky then says nothing about heat work."]
 */
export function leftOutWords(withVacuumFault: number, withoutHeat: number): string[] {
  const faulty = `${counted(withVacuumFault, "bake")} with a vacuum fault left out: milky then says nothing about heat work.`;
  const empty = `${counted(withoutHeat, "bake")} without a heating trace left out.`;
  return [...(withVacuumFault > 0 ? [faulty] : []), ...(withoutHeat > 0 ? [empty] : [])];
}

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}
