import { afterAll, describe, expect, it } from "vitest";
import { MOST_TRACE_BYTES, parseTrace, readTraceFile } from "#daemon/command/trace-file";
import { DaemonError } from "#daemon/errors";
import { temporaryFolder } from "#tests/helpers/call";

const folder = temporaryFolder();
afterAll(() => folder.remove());

describe("a trace file", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "seconds and celsius",            csv: "seconds,celsius\n0,500\n1,501" },
    { what: "another order",                  csv: "celsius,seconds\n500,0\n501,1" },
    { what: "extra columns, some without use", csv: "note,seconds,setpoint_celsius,celsius\nx,0,1,500\n,1,2,501" },
    { what: "capitals and spaces",            csv: " Seconds , CELSIUS \n 0 , 500 \n 1 , 501 " },
    { what: "quotation marks",                csv: '"seconds","note","celsius"\n0,"a, b",500\n1,"c",501' },
    { what: "a BOM, remarks and blank lines", csv: "\uFEFF# furnace 2\n\nseconds,celsius\n0,500\n# half\n\n1,501\n" },
    { what: "carriage returns",               csv: "seconds,celsius\r\n0,500\r\n1,501\r\n" },
    { what: "semicolons and decimal commas",  csv: "seconds;celsius\n0;500,0\n1,0;501" },
    { what: "tabs",                           csv: "seconds\tcelsius\n0\t500\n1\t501" },
    { what: "units behind a name",            csv: "elapsed_seconds,temp_celsius\n0,500\n1,501" },
    { what: "signs in brackets",              csv: "Time [s],Temperature (°C)\n0,500\n1,501" },
    { what: "signs behind a name",            csv: "time_s,shroud_C\n0,500\n1,501" },
    { what: "exponents",                      csv: "seconds,celsius\n0,5e2\n1,5.01E+2" },
  ])("is read with $what", ({ csv }) => {
    expect(parseTrace(csv, "t.csv").trace).toEqual([
      { atSeconds: 0, celsius: 500 },
      { atSeconds: 1, celsius: 501 },
    ]);
  });

  // Factors of NIST SP 811, appendix B; 760 °C is 1400 °F and 1033.15 K exactly.
  // biome-ignore format: a table reads in columns
  it.each([
    { header: "seconds,fahrenheit",           row: "90,1400",       sample: { atSeconds: 90, celsius: 760 } },
    { header: "seconds,kelvin",               row: "90,1033.15",    sample: { atSeconds: 90, celsius: 760 } },
    { header: "minutes,celsius",              row: "1.5,760",       sample: { atSeconds: 90, celsius: 760 } },
    { header: "seconds,celsius,hectopascals", row: "90,760,60",     sample: { atSeconds: 90, celsius: 760, hectopascals: 60 } },
    { header: "seconds,celsius,kilopascals",  row: "90,760,6",      sample: { atSeconds: 90, celsius: 760, hectopascals: 60 } },
    { header: "seconds,celsius,pressure_pa",  row: "90,760,6000",   sample: { atSeconds: 90, celsius: 760, hectopascals: 60 } },
    { header: "seconds,celsius,bar",          row: "90,760,0.06",   sample: { atSeconds: 90, celsius: 760, hectopascals: 60 } },
    { header: "time_s,celsius,min,max",       row: "90,760,1,2",    sample: { atSeconds: 90, celsius: 760 } },
    { header: "seconds,celsius,mmHg",         row: "90,760,45",     sample: { atSeconds: 90, celsius: 760, hectopascals: 59.995 } },
    { header: "seconds,celsius,Torr",         row: "90,760,45",     sample: { atSeconds: 90, celsius: 760, hectopascals: 59.995 } },
    { header: "seconds,celsius,hectopascals", row: "90,760,",       sample: { atSeconds: 90, celsius: 760 } },
    { header: "seconds,celsius,fahrenheit",   row: "90,760,99",     sample: { atSeconds: 90, celsius: 760 } },
  ])("under $header reads $row", ({ header, row, sample }) => {
    const first = header
      .split(",")
      .map((name, index) => (index === 0 ? "0" : name === "bar" ? "1" : "500"))
      .join(",");
    const [, second] = parseTrace(`${header}\n${first}\n${row}`, "t.csv").trace;
    expect(Object.keys(second ?? {})).toEqual(Object.keys(sample));
    for (const [channel, value] of Object.entries(sample))
      expect(second?.[channel as keyof typeof sample]).toBeCloseTo(value, 2);
  });

  it("may begin at any moment", () => {
    const { trace } = parseTrace("seconds,celsius\n-5,500\n1700000000,501", "t.csv");
    expect(trace.map((sample) => sample.atSeconds)).toEqual([-5, 1_700_000_000]);
  });

  it("refuses a row with more cells than the header, as a decimal comma between commas makes", () => {
    expect(() => parseTrace("seconds,celsius\n0,510,0\n10,510,5", "t.csv")).toThrow(
      /^t\.csv line 2: 3 cells under a header of 2\. Part cells by ;/,
    );
  });

  it("counts rows without a reading, and says where the first is", () => {
    const csv = "seconds,celsius\n0,500\n1,\n2,NaN\n,503\n4,504";
    const { trace, missingReadings } = parseTrace(csv, "t.csv");
    expect(trace.map((sample) => sample.atSeconds)).toEqual([0, 4]);
    expect(missingReadings).toEqual({ count: 3, firstLine: 3 });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "nothing",                     csv: "",                                       line: "t.csv is empty: it needs a header seconds,celsius and readings" },
    { what: "no time",                     csv: "celsius\n500",                           line: "t.csv line 1: no column for the time: name it seconds or minutes, found celsius" },
    { what: "no temperature",              csv: "# x\nseconds,volts\n0,1",                line: "t.csv line 2: no column for the temperature: name it celsius, fahrenheit, kelvin or millivolts, found seconds, volts" },
    { what: "no header",                   csv: "0,500\n1,501",                           line: "t.csv line 1: no column for the time: name it seconds or minutes, found 0, 500" },
    { what: "a lowest temperature for one", csv: "seconds,temp_min\n0,500\n1,501",        line: "t.csv line 1: no column for the temperature: name it celsius, fahrenheit, kelvin or millivolts, found seconds, temp_min" },
    { what: "two temperatures",            csv: "seconds,a_celsius,b_celsius\n0,1,2",     line: "t.csv line 1: columns a_celsius and b_celsius could both be the temperature: leave one, or rename the other" },
    { what: "garbage in a number",         csv: "seconds,celsius\n0,500\n1,5o1\n",        line: 't.csv line 3: "5o1" in column celsius is no number' },
    { what: "a hexadecimal number",        csv: "seconds,celsius\n0,0x1F4\n1,501",        line: 't.csv line 2: "0x1F4" in column celsius is no number' },
    { what: "infinity",                    csv: "seconds,celsius\n0,1e999\n1,501",        line: "t.csv line 2: 1e999 in column celsius cannot be. Empty the cell if there was no reading" },
    { what: "an impossible temperature",   csv: "seconds,celsius\n0,500\n1,9999",         line: "t.csv line 3: 9999 in column celsius cannot be. Empty the cell if there was no reading" },
    { what: "time that stands",            csv: "seconds,celsius\n0,500\n0,501",          line: "t.csv line 3: time does not rise: 0 s after 0 s. Put the rows in order, one per moment" },
    { what: "time that falls",             csv: "seconds,celsius\n0,500\n2,501\n1,502",   line: "t.csv line 4: time does not rise: 1 s after 2 s. Put the rows in order, one per moment" },
    { what: "words for readings",          csv: "seconds,celsius\n0,OPEN\n1,501\n2,OPEN", line: "t.csv has 1 reading(s) in 3 rows, line 2 has none: a trace needs at least 2 readings" },
    { what: "one reading",                 csv: "seconds,celsius\n0,500",                 line: "t.csv has 1 reading(s): a trace needs at least 2 rows under its header" },
  ])("with $what is refused in one line", ({ csv, line }) => {
    expect(() => parseTrace(csv, "t.csv")).toThrow(new DaemonError("input-refused", line));
  });

  // Type S from 20 °C, out of the table of NIST SRD 60: E(500) = 4.233, E(760) = 6.913, E(20) = 0.113 mV.
  const fromEmf = { type: "S", coldJunctionCelsius: null, signal: null } as const;
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "mV and its cold junction",      csv: "seconds,millivolts,cold_junction_celsius\n0,4.120,20\n1,6.800,20" },
    { what: "short names",                   csv: "s,emf_mv,cj_c\n0,4.120,20\n1,6.800,20" },
    { what: "signs in brackets",             csv: "Time [s];Probe [mV];Cold junction (°C)\n0;4,120;20\n1;6,800;20" },
    { what: "microvolts, ambient in °F",     csv: "seconds,tc_µV,ambient_F\n0,4120,68\n1,6800,68" },
    { what: "Greek microvolts, CJC in K",    csv: "seconds,emf (\u03bcV),CJC [K]\n0,4120,293.15\n1,6800,293.15" },
    { what: "the cold junction now and then", csv: "seconds,mv,cold_celsius\n0,4.120,20\n1,6.800," },
  ])("gives the same temperatures with $what", ({ csv }) => {
    const { trace, signal } = parseTrace(csv, "t.csv", fromEmf);
    expect(signal).toBe("millivolts");
    expect(trace.map(({ celsius }) => Math.round(celsius * 10) / 10)).toEqual([500, 760]);
    expect(trace[0]).toMatchObject({ millivolts: 4.12, coldJunctionCelsius: expect.closeTo(20, 9) });
  });

  it("takes the cold junction that it is told where there is no column, and where its cell is empty too long", () => {
    const told = { ...fromEmf, coldJunctionCelsius: 20 };
    const bare = parseTrace("seconds,mv\n0,4.120\n1,6.800", "t.csv", told);
    expect(bare.trace.map(({ celsius }) => Math.round(celsius))).toEqual([500, 760]);
    // Nobody measured it: a watch over the probe must not find it standing still.
    expect(bare.heard.map((heard) => heard.coldJunctionCelsius)).toEqual([undefined, undefined]);
    // E(60) = 0.365 mV, E(520) = 4.432, E(530) = 4.532: 4.485 mV is 525.3 °C.
    const rare = "seconds,mv,cold_c\n0,4.120,60\n61,6.800,\n62,6.800,";
    expect(parseTrace(rare, "t.csv", told).trace.map(({ celsius }) => Math.round(celsius))).toEqual([
      525, 760, 760,
    ]);
    expect(() => parseTrace(rare, "t.csv", fromEmf)).toThrow(
      "has 2 of 3 rows without a cold junction in column cold_c: say it with --cold",
    );
  });

  it("never takes a cold junction for the chamber", () => {
    const both = parseTrace("seconds,cold_junction_celsius,tc_celsius\n0,20,500\n1,21,501", "t.csv");
    expect(both.trace).toEqual([
      { atSeconds: 0, celsius: 500, coldJunctionCelsius: 20 },
      { atSeconds: 1, celsius: 501, coldJunctionCelsius: 21 },
    ]);
    for (const name of ["cj_c", "ambient_celsius", "Cold junction [°C]", "room_celsius", "ref_junction_c"])
      expect(() => parseTrace(`seconds,${name}\n0,20\n1,20`, "t.csv")).toThrow(
        "no column for the temperature",
      );
    for (const name of ["scald_celsius", "cjx_c", "bathroom_celsius"])
      expect(parseTrace(`seconds,${name}\n0,20\n1,20`, "t.csv").trace[0]).toEqual({
        atSeconds: 0,
        celsius: 20,
      });
  });

  it("is read by its °C where it has both, and by its mV when it is asked to", () => {
    const csv = "seconds,celsius,mv,cold_c\n0,505,4.120,20\n1,765,6.800,20";
    const usual = parseTrace(csv, "t.csv", fromEmf);
    expect(usual).toMatchObject({ signal: "celsius", hasOtherSignal: true });
    expect(usual.trace[0]).toEqual({ atSeconds: 0, celsius: 505, millivolts: 4.12, coldJunctionCelsius: 20 });
    const asked = parseTrace(csv, "t.csv", { ...fromEmf, signal: "millivolts" });
    expect(asked.trace.map(({ celsius }) => Math.round(celsius))).toEqual([500, 760]);
  });

  it("keeps what was heard of the probe, words and full scale included", () => {
    const csv =
      "seconds,celsius,heater_percent\n0,500,40\n1,OPEN,41\n2,nan,42\n3,,43\n4,1800,44\n5,OL,45\n6,501,46\n,502,47";
    const { trace, heard, missingReadings } = parseTrace(csv, "t.csv");
    expect(heard).toEqual(
      [
        { celsius: 500 },
        { celsius: null, sensorWord: "open-circuit" },
        { celsius: null, sensorWord: "no-value" },
        { celsius: null, sensorWord: "no-value" },
        { celsius: 1800 },
        { celsius: null, sensorWord: "open-circuit" },
        { celsius: 501 },
      ].map((one, index) => ({ atSeconds: index, heaterDutyFraction: (40 + index) / 100, ...one })),
    );
    expect(trace.map(({ celsius }) => celsius)).toEqual([500, 1800, 501]);
    expect(missingReadings).toEqual({ count: 5, firstLine: 3 });
  });

  it("does not hear rows that are another channel's, but hears when the probe says nothing", () => {
    const rows = Array.from({ length: 100 }, (_, index) => {
      const isOpen = index >= 40 && index < 50;
      return `${index},${isOpen ? "" : 500 + index},\n${index + 0.5},,960\n`;
    });
    const { heard } = parseTrace(`seconds,celsius,hectopascals\n${rows.join("")}`, "t.csv");
    const silent = heard.filter(({ celsius }) => celsius === null).map(({ atSeconds }) => atSeconds);
    expect(heard.filter(({ celsius }) => celsius !== null)).toHaveLength(90);
    expect(silent.length).toBeGreaterThanOrEqual(18);
    expect(silent.every((atSeconds) => atSeconds >= 39.5 && atSeconds < 50)).toBe(true);
  });

  it("hears an EMF beyond the type as out of range, and keeps it", () => {
    const csv = "seconds,mv,cold_c\n0,4.120,20\n1,78.2,20\n2,-5,20\n3,6.800,20";
    const { trace, heard } = parseTrace(csv, "t.csv", fromEmf);
    expect(trace).toHaveLength(2);
    expect(heard.slice(1, 3)).toEqual([
      { atSeconds: 1, celsius: null, millivolts: 78.2, coldJunctionCelsius: 20, sensorWord: "above-range" },
      { atSeconds: 2, celsius: null, millivolts: -5, coldJunctionCelsius: 20, sensorWord: "below-range" },
    ]);
  });

  it("does not mind garbage in columns that it can do without", () => {
    const csv = "seconds,celsius,cj_c,heater_mv,duty_percent\n0,500,x,y,900\n1,501,20,3,50";
    expect(parseTrace(csv, "t.csv").trace).toEqual([
      { atSeconds: 0, celsius: 500 },
      { atSeconds: 1, celsius: 501, millivolts: 3, coldJunctionCelsius: 20, heaterDutyFraction: 0.5 },
    ]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "no type",               csv: "s,emf_mv\n0,4\n1,5",                 type: null,  line: "t.csv line 1: column emf_mv is in mV: say the thermocouple with --type, one of B, E, J, K, N, R, S, T" },
    { what: "no cold junction",      csv: "s,emf_mv\n0,4\n1,5",                 type: "S",   line: "t.csv line 1: no column for the cold junction of emf_mv: name it cold_junction_celsius, or say it with --cold" },
    { what: "an empty cold junction", csv: "s,emf_mv,cj_c\n0,4,\n1,5,",          type: "S",   line: "t.csv has 2 of 2 rows without a cold junction in column cj_c: say it with --cold" },
    { what: "plus and minus swapped", csv: "s,emf_mv,cj_c\n0,-4,20\n1,-5,20",   type: "S",   line: "t.csv has 2 of 2 rows whose EMF no type S gives: see whether --type is right, and whether plus and minus are swapped" },
    { what: "two EMFs",              csv: "s,a_mv,b_mv,cj_c\n0,4,4,20",          type: "S",   line: "t.csv line 1: columns a_mv and b_mv could both be the emf: leave one, or rename the other" },
    { what: "two cold junctions",    csv: "s,mv,cj_c,ambient_c\n0,4,20,20",      type: "S",   line: "t.csv line 1: columns cj_c and ambient_c could both be the cold junction: leave one, or rename the other" },
    { what: "a cold junction in words", csv: "s,mv,cj_c\n0,4,20\n1,5,warm",      type: "S",   line: 't.csv line 3: "warm" in column cj_c is no number' },
    { what: "volts of a mains supply", csv: "s,mv,cj_c\n0,4,20\n1,230000,20",    type: "S",   line: "t.csv line 3: 230000 in column mv cannot be. Empty the cell if there was no reading" },
  ] as const)("in mV with $what is refused in one line", ({ csv, type, line }) => {
    expect(() => parseTrace(csv, "t.csv", { ...fromEmf, type })).toThrow(
      new DaemonError("input-refused", line),
    );
  });

  it("is refused when it is binary", async () => {
    const path = folder.file(
      "flood.csv",
      Uint8Array.from({ length: 4096 }, (_, index) => index % 256),
    );
    await expect(readTraceFile(path)).rejects.toThrow(`${path} is not text: save it as UTF-8 text`);
  });

  it("is refused when it is too large", async () => {
    const path = folder.file("large.csv", Buffer.alloc(MOST_TRACE_BYTES + 1, "0,0\n"));
    await expect(readTraceFile(path)).rejects.toThrow(`${path} is too large: 64 MB at most`);
  });
});
