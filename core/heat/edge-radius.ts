/**
 * Edge radius for each unit of flow length, of a straight ridge of 90° that was sharp: 0.80 ± 0.06.
 * Computed independently, by a boundary-integral solution of plane Stokes flow (a square prism relaxing under
 * its surface tension, at two resolutions); the same solver gives the known decay of a cylinder's modes.
 */
export const EDGE_RADIUS_PER_FLOW_LENGTH = 0.8;

/** How far that number may be wrong, either way; the solver's own slopes were 0.72 to 0.83. */
export const EDGE_RADIUS_DOUBT = 0.06;

/** What a number that is only roughly known lies between, µm. */
export interface MicrometresRange {
  readonly leastMicrometres: number;
  readonly mostMicrometres: number;
}

/**
 * How round firing has made a sharp edge: the radius of its tip, µm.
 *
 *     R = C·Λ          Λ flow length, C = 0.80 ± 0.06
 *
 *       before │         after  ╭─ R
 *              └───             ╰───
 *
 * A sharp ridge has no length of its own, so its radius can only be a multiple of the one length there is:
 * that is why R grows in step with Λ.
 *
 * Limits: a straight, long ridge of 90° in plane flow, homogeneous Newtonian glass, no gravity (edges are far
 * below the capillary length, see `capillaryLengthMillimetres`). As long as R is small beside the piece: where
 * Λ is a tenth of its width the solver gives 0.084 to 0.087 of it, at or just above the end of the range.
 * Where the edge was round before, it ends at least as round. A powder has to be dense first.
 * @param flowLengthMicrometres  of the glass's own temperature, from `flowLengthMicrometres`
 * @example edgeRadiusMicrometres(100) // 80
 */
export function edgeRadiusMicrometres(flowLengthMicrometres: number): number {
  return EDGE_RADIUS_PER_FLOW_LENGTH * flowLengthMicrometres;
}

/**
 * The edge radius with its doubt: that of C alone, not that of the temperature or of the glass.
 * @param flowLengthMicrometres  of the glass's own temperature
 * @example edgeRadiusRangeMicrometres(100) // { leastMicrometres: 74, mostMicrometres: 86 }
 */
export function edgeRadiusRangeMicrometres(flowLengthMicrometres: number): MicrometresRange {
  const likeliest = edgeRadiusMicrometres(flowLengthMicrometres);
  const doubt = EDGE_RADIUS_DOUBT * flowLengthMicrometres;
  return {
    leastMicrometres: likeliest - doubt,
    mostMicrometres: likeliest + doubt,
  };
}

/**
 * The flow length that would round a sharp edge this far, µm: Λ = R/C. Beyond it a detail of that size is lost.
 * @param edgeRadiusMicrometres  of the tip
 * @example flowLengthToRoundMicrometres(80) // 100
 */
export function flowLengthToRoundMicrometres(edgeRadiusMicrometres: number): number {
  return edgeRadiusMicrometres / EDGE_RADIUS_PER_FLOW_LENGTH;
}
