import { type FieldText, fieldChannel, fieldChannels } from "#daemon/link/formats/fields";
import { sensorWordOf } from "#daemon/link/formats/sensor-words";
import type { Answer } from "#daemon/link/polled/question";
import type { Channels } from "#daemon/link/reading";

/** The values that a round has brought so far: each is good or bad alone, for each has come whole. */
export class RoundValues {
  #fields: FieldText[] = [];
  #atSeconds: { readonly ofProbe: boolean; readonly seconds: number } | null = null;

  /** When the probe's value came, else the first value, s. */
  get atSeconds(): number {
    return this.#atSeconds?.seconds ?? 0;
  }

  get channels(): Channels | null {
    const result = fieldChannels(this.#fields, false);
    return result.ok ? result.channels : null;
  }

  /** @returns what is wrong with those that cannot be used */
  add(fields: readonly FieldText[], atSeconds: number): string[] {
    return fields.flatMap((field) => {
      const fault = fieldFault(field);
      if (fault !== null) return [fault];
      this.#fields.push(field);
      const ofProbe = ["celsius", "millivolts"].includes(fieldChannel(field.word) ?? "");
      if (!this.#atSeconds || (ofProbe && !this.#atSeconds.ofProbe))
        this.#atSeconds = { ofProbe, seconds: atSeconds };
      return [];
    });
  }
}

/** What the values of an answer are as channels; null when there is no value among them that can be used. */
export function answerChannels(answer: Answer): Channels | null {
  const gathered = new RoundValues();
  if (answer.kind === "values") gathered.add(answer.fields, 0);
  return gathered.channels;
}

/** What is wrong with one value; null for one that can be used, and for a word in its place. */
function fieldFault(field: FieldText): string | null {
  const channel = fieldChannel(field.word);
  if (channel === null || sensorWordOf(field.text)) return null;
  // A time alone is no measured value; beside one it is looked at like any other.
  const beside: FieldText[] = channel === "instrumentSeconds" ? [measuredZero] : [];
  const result = fieldChannels([field, ...beside], false);
  return result.ok ? null : result.why;
}

const measuredZero: FieldText = { word: "duty-fraction", name: "", text: "0" };
