import {
  type ClosedPores,
  poreRadiusAfterFlowMicrometres,
  poreRadiusMicrometres,
  porosityOfPores,
} from "#core/heat/closed-pores";
import { edgeRadiusMicrometres } from "#core/heat/edge-radius";
import { flowLengthMicrometres } from "#core/heat/flow-length";
import { heatWorkEquivalentSeconds } from "#core/heat/heat-work";
import type { Material, Packing } from "#core/heat/material";
import { milkinessFraction } from "#core/heat/scattering";
import {
  CLOSURE_RELATIVE_DENSITY,
  cellsPerCubicMicrometre,
  flowLengthToClosureMicrometres,
  relativeDensityAfterFlow,
} from "#core/heat/scherer-cell";
import { type Gap, gaps, longestOrdinaryStepSeconds, type Sample } from "#core/trace/trace";
import { kelvinFromCelsius } from "#core/units";

/** What one temperature history would have done to a well-built layer. What cannot be said is null. */
export interface GlassOutcome {
  readonly heatWorkEquivalentSeconds: number;
  readonly flowLengthMicrometres: number | null;
  /** Where and when its pores closed, and the pressure then; null when they never did. */
  readonly closure: {
    readonly atSeconds: number;
    readonly celsius: number;
    /** Null where no pressure was measured. */
    readonly hectopascals: number | null;
  } | null;
  /** Share of the layer that is pores at the end; also where they never closed. */
  readonly porosityFraction: number | null;
  /** Null while pores are open, or when there is none left. */
  readonly poreRadiusMicrometres: number | null;
  /** Diffuse reflectance of 1 mm by its closed pores, 0 clear to 1 white; null while they are open. */
  readonly reflectanceFraction: number | null;
  readonly edgeRadiusMicrometres: number | null;
}

/** All that the glass models ask of a sample: the layer's temperature, and the furnace's pressure where measured. */
export type GlassPoint = Pick<Sample, "atSeconds" | "celsius" | "hectopascals">;

/** What may be said beside the trace. */
export interface GlassOutcomeOptions {
  /** Stretches that hold no flow; the gaps of the trace unless given. A planned curve has none: give `[]`. */
  readonly silences?: readonly Gap[];
}

/** A point of the history; the pressure is null where nobody knows it. */
interface Corner {
  readonly atSeconds: number;
  readonly celsius: number;
  readonly hectopascals: number | null;
}

/** A material of which the glass models can tell everything. */
type Glass = Pick<Material, "viscosity" | "surfaceTensionNewtonsPerMetre">;

/** A layer since its pores closed. */
interface Closed {
  readonly at: Corner;
  /** Null where nobody knows what they locked in. */
  readonly pores: ClosedPores | null;
  readonly radiusMicrometres: number;
  /** Flow since then under a pressure that nobody knows. */
  readonly blindMicrometres: number;
}

/** The slab whose milkiness is told, mm. */
const SLAB_MILLIMETRES = 1;

/** Over a piece of this many K and hPa at most, temperature and pressure around closed pores count as steady. */
const LONGEST_PIECE_KELVIN = 2;
const LONGEST_PIECE_HECTOPASCALS = 50;

/** No muffle holds a higher pressure: what reads so was not measured, hPa (our choice). */
const HIGHEST_HECTOPASCALS = 2000;

/** Flow under an unknown pressure is passed over up to this share of the radius at closure. */
const NEGLIGIBLE_BLIND_FRACTION = 0.01;

/** Halvings that find the moment of closure in a piece: to a billionth of a millionth of it. */
const CLOSING_HALVINGS = 50;

/**
 * What one temperature history would have done to a well-built layer: heat work, flow length, where its pores closed
 * and what they locked in, what is left of them, how milky that looks, how round the edges became.
 *
 *     °C │          ╭──────╮          open: Scherer's cell shrinks with the flow length (scherer-cell.ts)
 *        │        ●╱        ╲         ●     the channels close on the furnace's pressure of that moment
 *        │      ╱ closed     ╲        closed: Mackenzie and Shuttleworth, against the gas (closed-pores.ts,
 *        │ open╱              ╲               trapped-gas.ts) and with the pressure of each moment outside
 *        └──────────────────────
 *
 * Milkiness is decided mostly by the pressure at closure; a few K more or less move edges and gloss instead.
 * Temperature and pressure are straight between samples; gaps hold no flow. Where no pressure was measured at
 * closure, nobody can know what was locked in: its pressure and all that follows from it are null. The same where
 * pressure was lost afterwards for more flow than 1 % of the pores' radius. What no muffle holds counts as not
 * measured. Without viscosity there is no flow
 * length, without packing no pores: null, too.
 * Sources and further limits stand in the files of the models. Together: one size of pores, a Newtonian glass, no
 * crystals, no core that holds the layer, no gas that dissolves or is released. Good for ranking causes and sizing
 * effects, not for certifying a piece.
 * @param trace    °C of the layer over seconds in rising time, with hPa where measured; corners may be far apart
 * @param material activation energy and reference of the heat work; viscosity, surface tension and packing
 * @throws RangeError when two samples are out of time order, or the packing is denser than a cell can be
 * @example glassOutcome([], { name: "of no known glass", origin: { kind: "invented", statement: "an example" }, activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760, viscosity: null, surfaceTensionNewtonsPerMetre: 0.3, packing: null, closure: null, window: null }).flowLengthMicrometres // null
 */
export function glassOutcome(
  trace: readonly GlassPoint[],
  material: Material,
  { silences = gaps(trace) }: GlassOutcomeOptions = {},
): GlassOutcome {
  const heatWork = heatWorkEquivalentSeconds(trace, material, silences);
  if (!material.viscosity) return { ...UNKNOWN, heatWorkEquivalentSeconds: heatWork };
  const { flowLength, closed } = flowed(cornersOf(trace), material, silences);
  return {
    ...(material.packing ? outcomeOfPores(flowLength, closed, material.packing) : UNKNOWN),
    heatWorkEquivalentSeconds: heatWork,
    flowLengthMicrometres: flowLength,
    edgeRadiusMicrometres: edgeRadiusMicrometres(flowLength),
  };
}

const UNKNOWN: Omit<GlassOutcome, "heatWorkEquivalentSeconds"> = {
  flowLengthMicrometres: null,
  closure: null,
  porosityFraction: null,
  poreRadiusMicrometres: null,
  reflectanceFraction: null,
  edgeRadiusMicrometres: null,
};

type OutcomeOfPores = Pick<
  GlassOutcome,
  "closure" | "porosityFraction" | "poreRadiusMicrometres" | "reflectanceFraction"
>;

function outcomeOfPores(flowLength: number, closed: Closed | null, packing: Packing): OutcomeOfPores {
  const unseen = { poreRadiusMicrometres: null, reflectanceFraction: null };
  if (!closed)
    return { ...unseen, closure: null, porosityFraction: 1 - relativeDensityAfterFlow(packing, flowLength) };
  const { at: closure, pores, radiusMicrometres, blindMicrometres } = closed;
  if (!pores || blindMicrometres > NEGLIGIBLE_BLIND_FRACTION * pores.gas.radiusMicrometres)
    return { ...unseen, closure, porosityFraction: null };
  const porosityFraction = porosityOfPores(radiusMicrometres, pores.perCubicMicrometre);
  return {
    closure,
    porosityFraction,
    poreRadiusMicrometres: radiusMicrometres > 0 ? radiusMicrometres : null,
    reflectanceFraction: milkinessFraction(porosityFraction, radiusMicrometres, SLAB_MILLIMETRES),
  };
}

/** The whole history, piece by piece. */
function flowed(corners: readonly Corner[], material: Material, silences: readonly Gap[]) {
  const { packing } = material;
  const toClosure = packing ? flowLengthToClosureMicrometres(packing) : Number.POSITIVE_INFINITY;
  let flowLength = 0;
  let closed: Closed | null = null;
  for (const [index, to] of corners.entries()) {
    const from = corners[index - 1];
    if (!from || isSilent(from, to, silences)) continue;
    const piece = flowLengthMicrometres([from, to], material) ?? 0;
    if (closed) closed = afterPiece(closed, from, to, piece, material);
    else if (packing && flowLength + piece >= toClosure) {
      const at = closingCorner(from, to, toClosure - flowLength, material);
      closed = afterPiece(closedAt(at, packing), at, to, flowLength + piece - toClosure, material);
    }
    flowLength += piece;
  }
  return { flowLength, closed };
}

function isSilent(from: Corner, to: Corner, silences: readonly Gap[]): boolean {
  return silences.some((gap) => from.atSeconds >= gap.fromSeconds && to.atSeconds <= gap.toSeconds);
}

/** The moment in a piece at which it has given a flow; the piece gives at least that. */
function closingCorner(from: Corner, to: Corner, flowMicrometres: number, glass: Glass): Corner {
  let low = 0;
  let high = 1;
  for (let halving = 0; halving < CLOSING_HALVINGS; halving++) {
    const middle = (low + high) / 2;
    const flow = flowLengthMicrometres([from, between(from, to, middle)], glass) ?? 0;
    if (flow < flowMicrometres) low = middle;
    else high = middle;
  }
  return between(from, to, high);
}

function closedAt(at: Corner, packing: Packing): Closed {
  const perCubicMicrometre = cellsPerCubicMicrometre(packing);
  const radiusMicrometres = poreRadiusMicrometres(CLOSURE_RELATIVE_DENSITY, perCubicMicrometre);
  const { hectopascals } = at;
  const kelvin = kelvinFromCelsius(at.celsius);
  const pores =
    hectopascals === null ? null : { perCubicMicrometre, gas: { radiusMicrometres, hectopascals, kelvin } };
  return { at, pores, radiusMicrometres, blindMicrometres: 0 };
}

function afterPiece(closed: Closed, from: Corner, to: Corner, flowMicrometres: number, glass: Glass): Closed {
  if (!closed.pores || !(flowMicrometres > 0)) return closed;
  if (from.hectopascals === null || to.hectopascals === null)
    return { ...closed, blindMicrometres: closed.blindMicrometres + flowMicrometres };
  const { surfaceTensionNewtonsPerMetre } = glass;
  const parts = partsOf(from, to, from.hectopascals, to.hectopascals);
  let { radiusMicrometres } = closed;
  for (let part = 0; part < parts; part++) {
    const ends = [between(from, to, part / parts), between(from, to, (part + 1) / parts)];
    const flow = parts === 1 ? flowMicrometres : (flowLengthMicrometres(ends, glass) ?? 0);
    const { celsius, hectopascals } = between(from, to, (part + 0.5) / parts);
    const around = {
      surfaceTensionNewtonsPerMetre,
      hectopascals: hectopascals ?? 0,
      kelvin: kelvinFromCelsius(celsius),
    };
    radiusMicrometres = poreRadiusAfterFlowMicrometres(radiusMicrometres, flow, closed.pores, around);
  }
  return { ...closed, radiusMicrometres };
}

function partsOf(from: Corner, to: Corner, fromHectopascals: number, toHectopascals: number): number {
  const byTemperature = Math.abs(to.celsius - from.celsius) / LONGEST_PIECE_KELVIN;
  const byPressure = Math.abs(toHectopascals - fromHectopascals) / LONGEST_PIECE_HECTOPASCALS;
  return Math.max(1, Math.ceil(byTemperature), Math.ceil(byPressure));
}

function between(from: Corner, to: Corner, share: number): Corner {
  return {
    atSeconds: from.atSeconds + share * (to.atSeconds - from.atSeconds),
    celsius: from.celsius + share * (to.celsius - from.celsius),
    hectopascals:
      from.hectopascals === null || to.hectopascals === null
        ? null
        : from.hectopascals + share * (to.hectopascals - from.hectopascals),
  };
}

/** The samples, with the pressure straight between those that have one; null in the silences of the gauge. */
function cornersOf(samples: readonly GlassPoint[]): Corner[] {
  const trace = samples.map((sample) =>
    (sample.hectopascals ?? 0) <= HIGHEST_HECTOPASCALS ? sample : { ...sample, hectopascals: undefined },
  );
  const measured = trace.filter(({ hectopascals }) => hectopascals !== undefined);
  const reachSeconds = measured.length < trace.length ? longestOrdinaryStepSeconds(measured) : 0;
  let next = 0;
  return trace.map(({ atSeconds, celsius, hectopascals }) => {
    if (hectopascals !== undefined) return { atSeconds, celsius, hectopascals: Math.max(0, hectopascals) };
    while ((measured[next]?.atSeconds ?? Number.POSITIVE_INFINITY) < atSeconds) next++;
    const known = pressureAt(atSeconds, measured[next - 1], measured[next], reachSeconds);
    return { atSeconds, celsius, hectopascals: known === null ? null : Math.max(0, known) };
  });
}

/** Straight between two readings that are no silence apart; before the first and after the last, that one for as long. */
function pressureAt(
  atSeconds: number,
  before: GlassPoint | undefined,
  after: GlassPoint | undefined,
  reachSeconds: number,
): number | null {
  const only = before && after ? undefined : (before ?? after);
  if (only) return Math.abs(only.atSeconds - atSeconds) < reachSeconds ? (only.hectopascals ?? null) : null;
  if (before?.hectopascals === undefined || after?.hectopascals === undefined) return null;
  const stepSeconds = after.atSeconds - before.atSeconds;
  if (stepSeconds >= reachSeconds) return null;
  const share = (atSeconds - before.atSeconds) / stepSeconds;
  return before.hectopascals + share * (after.hectopascals - before.hectopascals);
}
