/**
 * Light scattered by one sphere: the series of Gustav Mie (1908), for a sphere that absorbs nothing.
 *
 *     x      size parameter, 2π·n_medium·radius/wavelength                           (no unit)
 *     m      relative index, n_sphere/n_medium: below 1 for a pore in glass          (no unit)
 *     Q_ext  extinction efficiency: light taken out of the beam over light that meets the sphere's disc
 *     Q_sca  scattering efficiency: the same, but what is scattered; equal to Q_ext without absorption
 *     Q_back radar backscattering efficiency: 4π times what goes straight back per steradian, over the disc
 *     g      asymmetry: mean cosine of the scattering angle, 1 straight on, 0 even, −1 straight back
 *
 *     D_n(mx) = n/(mx) − …        logarithmic derivative of ψ_n, by downward recurrence
 *     a_n = [(D_n/m + n/x)·ψ_n − ψ_{n−1}] / [(D_n/m + n/x)·ξ_n − ξ_{n−1}]
 *     b_n = [( D_n·m + n/x)·ψ_n − ψ_{n−1}] / [( D_n·m + n/x)·ξ_n − ξ_{n−1}]          ξ_n = ψ_n − i·χ_n
 *     Q_ext  = (2/x²)·Σ (2n+1)·Re(a_n + b_n)
 *     Q_sca  = (2/x²)·Σ (2n+1)·(|a_n|² + |b_n|²)
 *     Q_back = (1/x²)·|Σ (2n+1)·(−1)ⁿ·(a_n − b_n)|²
 *     g·Q_sca = (4/x²)·Σ [ n(n+2)/(n+1)·Re(a_n·a*_{n+1} + b_n·b*_{n+1}) + (2n+1)/(n(n+1))·Re(a_n·b*_n) ]
 *
 * Source: Bohren and Huffman, Absorption and Scattering of Light by Small Particles (1983), equations 4.61,
 * 4.62, 4.88, 4.89 and appendix A (the formulas from memory; the tests check them against published runs of
 * appendix A and of Wiscombe, Appl. Opt. 19 (1980) 1505).
 * The series stops after x + 4·x^(1/3) + 2 terms (Wiscombe). ψ_n runs upward, which loses digits where n exceeds x:
 * that is where the terms no longer count. Good for x from 0.01 to some 20,000.
 * Limits: one lone sphere, one colour, a plane wave, real indices, no neighbours near enough to be felt.
 */
export interface SphereScattering {
  readonly extinctionEfficiency: number;
  readonly scatteringEfficiency: number;
  readonly backscatterEfficiency: number;
  readonly asymmetry: number;
}

/** A term of the series: the electric and the magnetic wave of one order. */
interface Term {
  readonly electric: Complex;
  readonly magnetic: Complex;
}

interface Complex {
  readonly re: number;
  readonly im: number;
}

const NOTHING: Complex = { re: 0, im: 0 };

/**
 * What a sphere does to light, by the Mie series.
 * @param sizeParameter  x = 2π·n_medium·radius/wavelength
 * @param relativeIndex  m = n_sphere/n_medium
 * @throws RangeError unless both are above 0 and finite
 * @example Math.round(sphereScattering(10, 0.75).scatteringEfficiency * 1e5) / 1e5 // 2.23226
 */
export function sphereScattering(sizeParameter: number, relativeIndex: number): SphereScattering {
  requireAboveZero("a size parameter", sizeParameter);
  requireAboveZero("a relative index", relativeIndex);
  const terms = series(sizeParameter, relativeIndex);
  const area = sizeParameter ** 2;
  const scatteringEfficiency = (2 / area) * weighted(terms, (term) => power(term));
  return {
    extinctionEfficiency: (2 / area) * weighted(terms, ({ electric, magnetic }) => electric.re + magnetic.re),
    scatteringEfficiency,
    backscatterEfficiency: backward(terms) / area,
    asymmetry: (4 * forwardness(terms)) / (area * scatteringEfficiency),
  };
}

function requireAboveZero(what: string, value: number): void {
  if (!(value > 0 && value < Number.POSITIVE_INFINITY))
    throw new RangeError(`Mie series requires ${what} above 0, got ${value}`);
}

/** Term n of the series stands at index n − 1. */
function series(x: number, m: number): Term[] {
  const orders = Math.ceil(x + 4 * Math.cbrt(x) + 2);
  const derivatives = logarithmicDerivatives(m * x, orders);
  const terms: Term[] = [];
  // ψ and χ of orders n − 1 and n, from those of orders −1 and 0.
  let psi = { before: Math.cos(x), here: Math.sin(x) };
  let chi = { before: -Math.sin(x), here: Math.cos(x) };
  for (let order = 1; order <= orders; order++) {
    psi = { before: psi.here, here: ((2 * order - 1) / x) * psi.here - psi.before };
    chi = { before: chi.here, here: ((2 * order - 1) / x) * chi.here - chi.before };
    const derivative = derivatives[order] ?? 0;
    const coefficient = (slope: number): Complex =>
      share((slope + order / x) * psi.here - psi.before, (slope + order / x) * chi.here - chi.before);
    terms.push({ electric: coefficient(derivative / m), magnetic: coefficient(derivative * m) });
  }
  return terms;
}

/** D_n of an argument for n up to a number of orders: D_{n−1} = n/ρ − 1/(D_n + n/ρ), from high enough that any start will do. */
function logarithmicDerivatives(argument: number, orders: number): Float64Array {
  const derivatives = new Float64Array(Math.ceil(Math.max(orders, argument)) + 16);
  for (let order = derivatives.length - 1; order > 0; order--) {
    const slope = order / argument;
    derivatives[order - 1] = slope - 1 / ((derivatives[order] ?? 0) + slope);
  }
  return derivatives;
}

/** p/(p − i·q) */
function share(p: number, q: number): Complex {
  const size = p ** 2 + q ** 2;
  return { re: p ** 2 / size, im: (p * q) / size };
}

function weighted(terms: readonly Term[], of: (term: Term) => number): number {
  return terms.reduce((sum, term, index) => sum + (2 * index + 3) * of(term), 0);
}

function power({ electric, magnetic }: Term): number {
  return alike(electric, electric) + alike(magnetic, magnetic);
}

function backward(terms: readonly Term[]): number {
  const sign = (index: number) => (index % 2 === 0 ? -1 : 1);
  const sum = (part: keyof Complex) =>
    terms.reduce(
      (total, { electric, magnetic }, index) =>
        total + sign(index) * (2 * index + 3) * (electric[part] - magnetic[part]),
      0,
    );
  return sum("re") ** 2 + sum("im") ** 2;
}

function forwardness(terms: readonly Term[]): number {
  return terms.reduce((sum, { electric, magnetic }, index) => {
    const n = index + 1;
    const next = terms[n] ?? { electric: NOTHING, magnetic: NOTHING };
    const neighbours = alike(electric, next.electric) + alike(magnetic, next.magnetic);
    return (
      sum + ((n * (n + 2)) / (n + 1)) * neighbours + ((2 * n + 1) / (n * (n + 1))) * alike(electric, magnetic)
    );
  }, 0);
}

/** Real part of one times the conjugate of the other. */
function alike(one: Complex, other: Complex): number {
  return one.re * other.re + one.im * other.im;
}
