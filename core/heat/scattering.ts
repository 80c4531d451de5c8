/**
 * Diffuse reflectance of a slab of glass with closed pores of one size, 0 clear to 1 white: the milkiness.
 * @param porosityFraction       share of pores by volume, 0 to 1
 * @param poreRadiusMicrometres  radius of every pore, µm
 * @param thicknessMillimetres   of the slab, mm
 */
export function milkinessFraction(
  _porosityFraction: number,
  _poreRadiusMicrometres: number,
  _thicknessMillimetres: number,
): number {
  throw new Error("not written yet");
}
