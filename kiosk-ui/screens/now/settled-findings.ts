import type { Finding } from "#shared/comparison";

/** A finding has to last before somebody is called for it, s of the bake: some are gone with the next reading. */
const SETTLED_AFTER_SECONDS = 6;

/** Since when each finding of a running bake has been there, s of the bake. */
export type FindingsSince = ReadonlyMap<string, number>;

/** Since when each of these findings has been there, by what was known before. */
export function findingsSince(
  before: FindingsSince,
  findings: readonly Finding[],
  atSeconds: number,
): FindingsSince {
  return new Map(findings.map((finding) => [nameOf(finding), before.get(nameOf(finding)) ?? atSeconds]));
}

/** Those that have lasted. */
export function settledFindings(
  since: FindingsSince,
  findings: readonly Finding[],
  atSeconds: number,
): Finding[] {
  return findings.filter(
    (finding) => atSeconds - (since.get(nameOf(finding)) ?? atSeconds) >= SETTLED_AFTER_SECONDS,
  );
}

function nameOf({ code, index }: Finding): string {
  return `${code} ${index ?? ""}`;
}
