/** The sentences about a thermocouple where a bake is watched or judged. */
export const thermocoupleWords = {
  title: "Thermocouple",
  missing: (fault: string) => `No reading: ${fault}`,
  doubted: (fault: string) => `Do not believe it: ${fault}`,
  missingShort: "no reading",
  doubtedShort: (temperature: string) => `${temperature}?`,
  missingTile: "No temperature now",
  others: (count: number) => (count === 1 ? "One more fault." : `${count} more faults.`),
  soFar: (counts: string) => `${counts} so far`,
  spikes: (count: number) => (count === 1 ? "1 spike" : `${count} spikes`),
  dropOuts: (count: number) => (count === 1 ? "1 reading missing" : `${count} readings missing`),
  outOfRange: (count: number) => (count === 1 ? "1 reading out of range" : `${count} readings out of range`),
  times: (fault: string, count: number) => (count === 1 ? `${fault} once` : `${fault} ${count} times`),
  seePastBakes: (fault: string) => `${fault.charAt(0).toUpperCase()}${fault.slice(1)}: see Past bakes.`,
  noFaults: "Nothing wrong with it was seen.",
  /** For a bake that one line has to do for. */
  briefly: (probe: string) => `Thermocouple: ${probe}.`,
  probeUnknown: "nothing is known of it",
  notCorrected: "not corrected",
  corrected: (amount: string, day: string, ago: string) =>
    `corrected by ${amount}, by the check accepted ${day}, ${ago}`,
  correctedAt: (points: number, day: string, ago: string) =>
    `corrected at ${points} temperatures, by the check accepted ${day}, ${ago}`,
  sameDay: "the day of this bake",
  daysBefore: (days: number) => (days === 1 ? "the day before this bake" : `${days} days before this bake`),
  plusMinus: (amount: string) => `±\u00a0${amount}`,
  factor: (factor: number) => `(k\u00a0=\u00a0${factor})`,
  lessThan: (amount: string) => `less than the ±\u00a0${amount} of the thermocouple`,
  lessThanBrief: (amount: string) => `less than ±\u00a0${amount}`,
  range: (low: string, high: string) => `${low} to ${high}\u00a0%`,
  unknown: "How sure: not known. Set the thermocouple’s class in Upkeep, or check it.",
} as const;

/** What a bar says of its interval, for readers. */
export function spokenRange(low: string, high: string): string {
  return `${thermocoupleWords.range(low, high)}, by the thermocouple’s uncertainty.`;
}
