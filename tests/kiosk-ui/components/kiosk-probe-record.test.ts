// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { KioskProbeRecord } from "#kiosk-ui/components/kiosk-probe-record";
import type { Probe } from "#shared/probe";
import { madeUpFault } from "#tests/helpers/made-up-bakes";
import { MADE_UP_PROBE } from "#tests/helpers/made-up-checks";

const BEGUN = new Date(2026, 10, 25, 14, 5).getTime();
const corrected = (daysBefore: number, points = 1): Probe => ({
  ...MADE_UP_PROBE,
  correction: {
    checkId: 4,
    acceptedAtEpochMilliseconds: new Date(2026, 10, 25 - daysBefore, 9).getTime(),
    acceptedBy: "MK",
    points: Array.from({ length: points }, (_, place) => ({
      readingCelsius: 700 + 50 * place,
      correctionKelvin: 2.14,
    })),
    expandedUncertaintyKelvin: 1.8,
    coverageFactor: 2,
  },
});

async function text(properties: Partial<KioskProbeRecord>) {
  const element = new KioskProbeRecord();
  Object.assign(element, { startedAtEpochMilliseconds: BEGUN, ...properties });
  document.body.append(element);
  await element.updateComplete;
  return element.shadowRoot?.textContent?.replace(/\s+/g, " ").trim() ?? "";
}

afterEach(() => document.body.replaceChildren());

describe("the thermocouple of a bake", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "without a record",   probe: null,             says: "Nothing is known of it." },
    { what: "as bought",          probe: MADE_UP_PROBE,    says: "Type S, IEC class 2, not corrected." },
    { what: "corrected that day", probe: corrected(0),     says: "Type S, IEC class 2, corrected by +2.1 K, by the check accepted 25 Nov, the day of this bake." },
    { what: "corrected before",   probe: corrected(13),    says: "Type S, IEC class 2, corrected by +2.1 K, by the check accepted 12 Nov, 13 days before this bake." },
    { what: "at several points",  probe: corrected(1, 3),  says: "Type S, IEC class 2, corrected at 3 temperatures, by the check accepted 24 Nov, the day before this bake." },
  ])("$what is said with its correction as of then", async ({ probe, says }) => {
    expect(await text({ probe })).toBe(`${says} Nothing wrong with it was seen.`);
  });

  it("has every fault with its counts and what to look at first, those for a person before", async () => {
    const faults = [
      madeUpFault("spikes", { readings: 3 }),
      madeUpFault("open-circuit", { episodes: 2, seconds: 90, needsPerson: true }),
    ];
    const said = await text({ probe: MADE_UP_PROBE, faults });
    expect(said).toMatch(
      /The thermocouple was open 2 times, 90 s in all\. Look first at the terminals.*3 readings jumped away and back\. Look first at the screen/,
    );
  });

  it("says briefly what to look at only for what needs a person", async () => {
    const said = await text({
      probe: MADE_UP_PROBE,
      faults: [madeUpFault("spikes", { readings: 3 })],
      isBrief: true,
    });
    expect(said).toBe("Thermocouple: type S, IEC class 2, not corrected. 3 readings jumped away and back.");
  });
});
