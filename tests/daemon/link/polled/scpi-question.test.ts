import { describe, expect, it } from "vitest";
import type { FieldWord } from "#daemon/link/formats/fields";
import { answerChannels } from "#daemon/link/polled/round-values";
import { scpiError } from "#daemon/link/polled/scpi-answer";
import { LONGEST_ANSWER_BYTES, scpiErrorQuestion, scpiQuestion } from "#daemon/link/polled/scpi-question";
import { serialVectors as vectors } from "#tests/helpers/serial-vectors";

/** What a query hears of this text. */
function heard(text: string, fields: FieldWord[] = ["celsius"], scale = 1) {
  const hearing = scpiQuestion({ query: "READ?", fields, scale }, 1).begin();
  const answer = hearing.push(Buffer.from(text, "latin1"));
  return { answer, channels: answer && answerChannels(answer), hearing };
}

/** Why an answer was refused. */
function refusal(text: string, fields?: FieldWord[], scale?: number) {
  const { answer } = heard(text, fields, scale);
  return answer?.kind === "refusal" ? answer.why : undefined;
}

describe("an answer to a query", () => {
  const numbers = vectors.scpi.numeric_formats;
  const codes: Readonly<Record<string, string>> = {
    NaN: "no-value",
    "+infinity": "above-range",
    "-infinity": "below-range",
  };
  it.each(numbers)("reads $text as $value", ({ text, value }) => {
    const expected = typeof value === "number" ? { celsius: value } : { sensorWord: codes[value] };
    expect(heard(`${text}\n`).channels).toEqual(expected);
  });

  it("reads a number whose unit stands behind it, as a calibrator answers", () => {
    expect(heard(`${vectors.scpi.temperature.reply_with_unit_example}\r\n`).channels).toEqual({
      celsius: 25,
    });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { text: "0.00E+00,OPENTC",   channels: { sensorWord: "open-circuit" } },
    { text: "0.00E+00,OVER",     channels: { sensorWord: "above-range" } },
    { text: "25.0,UNDER",        channels: { sensorWord: "below-range" } },
    { text: "OPEN",              channels: { sensorWord: "open-circuit" } },
    { text: "NAN",               channels: { sensorWord: "no-value" } },
    { text: "NINF",              channels: { sensorWord: "below-range" } },
    { text: "25.0,OK",           channels: { celsius: 25 } },
    { text: "25.0,C",            channels: { celsius: 25 } },
    { text: "25.0 CEL",          channels: { celsius: 25 } },
    { text: ' 25.0 , "CEL" ',    channels: { celsius: 25 } },
    { text: "-9.90000000E+37",   channels: { sensorWord: "below-range" } },
    { text: "+9.9E+37,CEL",      channels: { sensorWord: "above-range" } },
    { text: "9.910000E37,CEL",   channels: { sensorWord: "no-value" } },
  ])("believes the word before the number: $text", ({ text, channels }) => {
    expect(heard(`${text}\n`).channels).toEqual(channels);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { text: "77.0,FAR",          fields: ["celsius"] as FieldWord[],    scale: 1,    why: /says F, the format says celsius/ },
    { text: "298.15 K",          fields: ["celsius"] as FieldWord[],    scale: 1,    why: /says K, the format says celsius/ },
    { text: "0.00674,V",         fields: ["millivolts"] as FieldWord[], scale: 1,    why: /not a number|says V/ },
    { text: "25.0,ERROR7",       fields: ["celsius"] as FieldWord[],    scale: 1,    why: /is no unit/ },
    { text: "25.0,WARM",         fields: ["celsius"] as FieldWord[],    scale: 1,    why: /not a number|says WARM/ },
    { text: "25.0,20.0,19.0",    fields: ["celsius"] as FieldWord[],    scale: 1,    why: /3 values where 1 belong/ },
    { text: "0x10",              fields: ["celsius"] as FieldWord[],    scale: 1,    why: /not a number/ },
    { text: "99999",             fields: ["celsius"] as FieldWord[],    scale: 1,    why: /cannot be 99999/ },
    { text: "25.0.1",            fields: ["celsius"] as FieldWord[],    scale: 1,    why: /not a number/ },
    { text: "25.0,",             fields: ["celsius"] as FieldWord[],    scale: 1,    why: null },
  ])("never makes a temperature of $text in $fields", ({ text, fields, scale, why }) => {
    const { channels } = heard(`${text}\n`, fields, scale);
    if (why === null) expect(channels).toEqual({ celsius: 25 });
    else {
      expect(channels).toBeNull();
      const { answer } = heard(`${text}\n`, fields, scale);
      const said = refusal(`${text}\n`, fields, scale);
      // What the fields refuse is an answer whose channels are none; what has no form is refused before.
      if (said !== undefined) expect(said).toMatch(why);
      else expect(answer?.kind).toBe("values");
    }
  });

  it("has as many values as its fields, each perhaps with its word", () => {
    const fields: FieldWord[] = ["celsius", "cold-celsius"];
    expect(heard("512.4,24.1\n", fields).channels).toEqual({ celsius: 512.4, coldJunctionCelsius: 24.1 });
    expect(heard("512.4,CEL,24.1,CEL\n", fields).channels).toEqual({
      celsius: 512.4,
      coldJunctionCelsius: 24.1,
    });
    expect(heard("OPEN,24.1\n", fields).channels).toEqual({
      sensorWord: "open-circuit",
      coldJunctionCelsius: 24.1,
    });
    expect(heard("512.4,skip me\n", ["celsius", "skip"]).channels).toEqual({ celsius: 512.4 });
    expect(refusal("512.4\n", fields)).toBe("1 values where 2 belong");
  });

  it("in volts is scaled to millivolts by the format", () => {
    expect(heard("6.743E-03\n", ["millivolts"], 1000).channels).toEqual({ millivolts: 6.743 });
    expect(heard("6.743E-03,V\n", ["millivolts"], 1000).channels).toEqual({ millivolts: 6.743 });
    expect(heard("6.743,MV\n", ["millivolts"], 1000).channels).toBeNull();
    expect(heard("6.743,MV\n", ["millivolts"]).channels).toEqual({ millivolts: 6.743 });
  });

  it("is not there yet while its line has no end, is empty, or is the echo of the query", () => {
    expect(heard("25.0").answer).toBeNull();
    expect(heard("25.0").hearing.isMidAnswer).toBe(true);
    expect(heard("\r\n\n").answer).toBeNull();
    expect(heard("READ?\r\n25.0\r\n").channels).toEqual({ celsius: 25 });
  });

  it("is passed over when it holds broken bytes or is longer than a kibibyte", () => {
    const { answer, hearing } = heard(`2\x005.0\n25\xff.0\n${"7".repeat(LONGEST_ANSWER_BYTES + 1)}\n`);
    expect(answer).toBeNull();
    expect(hearing.takeNoise(false).length).toBeGreaterThan(0);
    expect(hearing.push(Buffer.from("25.0\n"))).toMatchObject({ kind: "values" });
  });

  it("that is an error is told in the instrument's words", () => {
    expect(heard('-113,"Undefined header"\n').answer).toMatchObject({
      kind: "refusal",
      why: 'the instrument says -113, "Undefined header"',
      isSaid: true,
    });
  });
});

describe("the error of an instrument", () => {
  it.each(vectors.scpi.errors.map(([code, text]) => ({ code, text })))(
    "$code is known from its line",
    ({ code, text }) => {
      expect(scpiError(`${code},"${text}"`)).toEqual({ code, text });
    },
  );
  it("may have a sign, detail and doubled quotes", () => {
    expect(scpiError('+0,"No error"')).toEqual({ code: 0, text: "No error" });
    expect(scpiError('-113,"Undefined header;""FOO?"""')).toEqual({
      code: -113,
      text: 'Undefined header;"FOO?"',
    });
    expect(scpiError("25.0")).toBeNull();
  });
  it("is asked for by a query, whose answer a late reading is not", () => {
    const hearing = scpiErrorQuestion(1).begin();
    expect(Buffer.from(hearing.request).toString()).toBe("SYSTem:ERRor?\r\n");
    expect(hearing.push(Buffer.from("25.0\n"))).toBeNull();
    expect(hearing.push(Buffer.from('-113,"Undefined header"\n'))).toMatchObject({
      why: '-113, "Undefined header"',
    });
  });
});
