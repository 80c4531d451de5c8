import { readFileSync } from "node:fs";
import { fc, it as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { FIELD_WORDS, type FieldWord, fieldChannel } from "#daemon/link/formats/fields";
import { type Format, formatSpec, isPolled, parseFormat } from "#daemon/link/formats/formats";
import type { ModbusFormat, ModbusValue } from "#daemon/link/formats/modbus-format";
import type { ScpiFormat } from "#daemon/link/formats/scpi-format";

const page = readFileSync(
  new URL("../../../../daemon/link/formats/polled-formats.md", import.meta.url),
  "utf8",
);

const measured = FIELD_WORDS.filter((word) => word !== "skip");
const fields: fc.Arbitrary<FieldWord[]> = fc
  .uniqueArray(fc.constantFrom(...measured), { minLength: 1, maxLength: 5, selector: fieldChannel })
  .filter((words) => words.some((word) => fieldChannel(word) !== "instrumentSeconds"));
const polling = fc.record({
  everySeconds: fc.integer({ min: 1, max: 600 }).map((tenths) => tenths / 10),
  timeoutSeconds: fc.integer({ min: 5, max: 1000 }).map((hundredths) => hundredths / 100),
});
const scale = fc.oneof(fc.constantFrom(1, 0.1, 0.01, -1), fc.double({ min: 1e-6, max: 1e6, noNaN: true }));

function modbusValue(field: FieldWord): fc.Arbitrary<ModbusValue> {
  return fc
    .record({
      unit: fc.integer({ min: 1, max: 247 }),
      table: fc.constantFrom("input" as const, "holding" as const),
      address: fc.integer({ min: 0, max: 65_534 }),
      type: fc.constantFrom("int16" as const, "uint16" as const, "int32" as const, "float32" as const),
      order: fc.constantFrom("abcd" as const, "cdab" as const, "badc" as const, "dcba" as const),
      scale,
      offset: fc.constantFrom(0, 10, -273.15),
      field: fc.constant(field),
    })
    .map((value) => (value.type.endsWith("16") ? { ...value, order: "abcd" as const } : value));
}

const modbusFormats: fc.Arbitrary<ModbusFormat> = fc
  .tuple(fields, polling, fc.constantFrom("modbus" as const, "modbus-tcp" as const))
  .chain(([words, timing, kind]) =>
    fc.tuple(...words.map(modbusValue)).map((values) => ({ kind, values, ...timing })),
  );

const queries = fc.constantFrom(
  "MEASure:TEMPerature?",
  "MEAS:TEMP? TC,(@101)",
  "FETCh?",
  "*IDN?",
  ":SENSe1:TEMPerature:CJUNction?",
  'READ? "chamber"',
);
const scpiFormats: fc.Arbitrary<ScpiFormat> = fc
  .tuple(fields, polling)
  .chain(([words, timing]) =>
    fc
      .tuple(...words.map((word) => fc.record({ query: queries, fields: fc.constant([word]), scale })))
      .map((entries) => ({ kind: "scpi" as const, queries: entries, ...timing })),
  );

describe("polled formats", () => {
  property.prop([fc.oneof<fc.Arbitrary<Format>[]>(modbusFormats, scpiFormats)])(
    "come back from their short text",
    (written) => {
      const spec = formatSpec(written);
      if (spec.length <= 500) expect(parseFormat(spec)).toEqual({ ok: true, format: written });
    },
  );

  it("say where a value stands, how it is written and what it means", () => {
    expect(
      parseFormat(
        "modbus:unit=3; input 0 int16 *0.1 = celsius; holding 4 float32 cdab = hectopascals; unit=9; input 7 uint16 *0.5 -10 = cold-celsius; every=0.5; timeout=2",
      ),
    ).toEqual({
      ok: true,
      format: {
        kind: "modbus",
        everySeconds: 0.5,
        timeoutSeconds: 2,
        // biome-ignore format: a table reads in columns
        values: [
          { unit: 3, table: "input",   address: 0, type: "int16",   order: "abcd", scale: 0.1, offset: 0,   field: "celsius" },
          { unit: 3, table: "holding", address: 4, type: "float32", order: "cdab", scale: 1,   offset: 0,   field: "hectopascals" },
          { unit: 9, table: "input",   address: 7, type: "uint16",  order: "abcd", scale: 0.5, offset: -10, field: "cold-celsius" },
        ],
      },
    });
    expect(parseFormat("scpi:MEASure:TEMPerature? TC,(@101)=celsius;READ? *1000=millivolts")).toEqual({
      ok: true,
      format: {
        kind: "scpi",
        everySeconds: 1,
        timeoutSeconds: 1,
        queries: [
          { query: "MEASure:TEMPerature? TC,(@101)", fields: ["celsius"], scale: 1 },
          { query: "READ?", fields: ["millivolts"], scale: 1000 },
        ],
      },
    });
  });

  const rows = [...page.matchAll(/^\| `((?:modbus|scpi)[^`]*)`/gm)].map(([, spec = ""]) => spec);
  it("have examples on their page", () => {
    expect(rows).toHaveLength(4);
  });
  it.each(rows)("are what the page says: %s", (spec) => {
    const parsed = parseFormat(spec);
    expect(parsed).toMatchObject({ ok: true });
    expect(parsed.ok && isPolled(parsed.format)).toBe(true);
  });

  // A text that could make an instrument do something must never be sent.
  it.each([
    { query: "*RST", why: "is no query" },
    { query: "SYSTem:REMote", why: "is no query" },
    { query: "SOURce:TEMPerature 900", why: "is no query" },
    { query: "MEASure:TEMPerature?\nOUTPut ON", why: "is no query" },
    { query: "MEASure:TEMPerature?\rOUTPut ON", why: "is no query" },
    { query: "OUTPut ON?x", why: "is no query" },
    { query: "OUTPut ON,MEASure?", why: "is no query" },
    { query: "MEASure?:TEMPerature 3", why: "is no query" },
    { query: "*TST?", why: "makes the instrument do something" },
    { query: "*cal?", why: "makes the instrument do something" },
    { query: "CALibration:ALL?", why: "makes the instrument do something" },
    { query: ":diag:heater?", why: "makes the instrument do something" },
    { query: `${"A".repeat(130)}?`, why: "is longer than 120 characters" },
  ])("refuse $query", ({ query, why }) => {
    expect(parseFormat(`scpi:${query}=celsius`)).toMatchObject({
      ok: false,
      error: expect.stringContaining(why),
    });
  });
  it("refuse a command that stands behind a semicolon", () => {
    expect(parseFormat("scpi:READ?=celsius;OUTPut ON")).toMatchObject({
      ok: false,
      error: expect.stringContaining('"OUTPut ON" is not query=field'),
    });
    expect(parseFormat("scpi:READ?;*RST=celsius")).toMatchObject({ ok: false });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { spec: "modbus:",                                   why: "no field is a measured value" },
    { spec: "modbus:unit=0;input 0 int16=celsius",       why: '"0" is no unit; use 1 to 247' },
    { spec: "modbus:unit=248;input 0 int16=celsius",     why: '"248" is no unit; use 1 to 247' },
    { spec: "modbus-tcp:unit=254;input 0 int16=celsius", why: "use 1 to 247, 0 or 255" },
    { spec: "modbus:coil 0 int16=celsius",               why: "begins with neither input nor holding" },
    { spec: "modbus:input 0 int64=celsius",              why: "says no type" },
    { spec: "modbus:input 65536 int16=celsius",          why: "use 0 to 65535, the first register being 0" },
    { spec: "modbus:input 65535 float32=celsius",        why: "use 0 to 65534, the first register being 0" },
    { spec: "modbus:input -1 int16=celsius",             why: "says no register" },
    { spec: "modbus:input 0 int16 cdab=celsius",         why: "cdab is for types of two registers" },
    { spec: "modbus:input 0 int16 *0=celsius",           why: "the scale is a number such as *0.1" },
    { spec: "modbus:input 0 int16 0.1=celsius",          why: '"0.1" is not understood' },
    { spec: "modbus:input 0 int16=skip",                 why: '"skip" is no field' },
    { spec: "modbus:input 0 int16",                      why: "is no register" },
    { spec: "modbus:input 0 int16=celsius;every=0",      why: "every takes 0.1 to 60 s" },
    { spec: "modbus:input 0 int16=celsius;timeout=11",   why: "timeout takes 0.05 to 10 s" },
    { spec: "modbus:input 0 int16=celsius;input 1 int16=kelvin", why: "two fields give the chamber temperature" },
    { spec: "scpi:READ?",                                why: "is not query=field" },
    { spec: "scpi:READ?=warm",                           why: '"warm" is no field' },
  ])("refuse $spec", ({ spec, why }) => {
    expect(parseFormat(spec)).toMatchObject({ ok: false, error: expect.stringContaining(why) });
  });

  property.prop([fc.string({ maxLength: 200 }), fc.constantFrom("modbus:", "modbus-tcp:", "scpi:")])(
    "never throw on any text",
    (text, kind) => {
      const parsed = parseFormat(kind + text);
      if (!parsed.ok) expect(parsed.error).not.toBe("");
    },
  );
});
