/**
 * Repeatable normal deviates of mean 0 and standard deviation 1: a linear congruential generator (Numerical
 * Recipes, "quick and dirty", constants from memory) through the Box–Muller transform.
 */
export function normalDeviates(seed: number): () => number {
  let state = seed >>> 0;
  const uniform = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}
