import type { SensorWord } from "#shared/sensor-fault";

/** Words in place of a number, in small letters, without spaces; `formats.md` is the page. */
const words = new Map<string, SensorWord>([
  ...["open", "opentc", "opencircuit", "ol", "break", "burnout"].map(saying("open-circuit")),
  ...["over", "overrange", "ovr", "inf", "+inf", "infinity"].map(saying("above-range")),
  ...["under", "underrange", "-inf", "-infinity", "ninf"].map(saying("below-range")),
  ...["", "-", "--", "---", "----", "n/a", "na", "nan", "null", "none", "err", "error"].map(
    saying("no-value"),
  ),
]);

/** SCPI-1999 writes the infinities and not-a-number (INF, NINF, NAN) as these, which nothing measured can be. */
const scpiNumbers = new Map<number, SensorWord>([
  [9.9e37, "above-range"],
  [-9.9e37, "below-range"],
  [9.91e37, "no-value"],
]);

/**
 * What an instrument says of its probe in place of a number; null when the text is no such word.
 * @example sensorWordOf("OPEN TC") // "open-circuit"
 */
export function sensorWordOf(text: string): SensorWord | null {
  const word = words.get(text.toLowerCase().replace(/[\s_]/g, ""));
  if (word) return word;
  return /^[+-]?9\.9\d*e\+?37$/i.test(text) ? (scpiNumbers.get(Number(text)) ?? null) : null;
}

function saying(word: SensorWord): (text: string) => [string, SensorWord] {
  return (text) => [text, word];
}
