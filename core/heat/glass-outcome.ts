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
