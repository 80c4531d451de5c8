import { it } from "@fast-check/vitest";
import fc from "fast-check";
import { describe, expect } from "vitest";
import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import { fittingHolds, type LayerAccount, layerForecasts } from "#core/heat/layer-ledger";
import { ledgerSentences } from "#core/heat/ledger-words";
import type { Material } from "#core/heat/material";
import type { Plan } from "#core/plan/plan";

const [, paste] = DEMONSTRATION_MATERIALS as readonly [Material, Material];
/** 325 kJ/mol at 760 °C; from 510 °C at 45 K/min the climb gives 34.6 s. */
const simple: Material = {
  ...paste,
  activationEnergyJoulesPerMole: 325_000,
  window: { leastEquivalentSeconds: 70, mostEquivalentSeconds: 190 },
};
const wider: Material = { ...simple, window: { leastEquivalentSeconds: 60, mostEquivalentSeconds: 600 } };

function plan(holdSeconds: number): Plan {
  return {
    name: "t",
    dryingSeconds: 0,
    closingSeconds: 0,
    lowCelsius: 510,
    lowHoldSeconds: 0,
    steps: [
      { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
      { kind: "hold", seconds: holdSeconds },
    ],
    cooling: { kind: "free" },
  };
}

function account(name: string, material: Material, chamberEquivalentSeconds: number): LayerAccount {
  const nothing = { wareEquivalentSeconds: null, flowLengthMicrometres: null };
  return { name, material, portions: [{ bakeId: 1, chamberEquivalentSeconds, ...nothing }] };
}

function said(
  accounts: readonly LayerAccount[],
  added: readonly Pick<LayerAccount, "name" | "material">[],
  holdSeconds: number,
  unit?: "fahrenheit",
): string[] {
  const of = plan(holdSeconds);
  return ledgerSentences(layerForecasts(accounts, added, of), fittingHolds(accounts, added, of), of, unit);
}

describe("the words of the layer ledger", () => {
  it("say why a second bake of the same paste holds seconds instead of a minute", () => {
    expect(said([account("Build-up", simple, 140)], [], 60)).toEqual([
      "Build-up has had 140 s at 760 °C of 70 to 190.",
      "A hold of 60 s would bring it to 235 s, above its window; up to 15 s keep it right.",
      "Without a hold the bake gives 35 s.",
    ]);
  });

  it("say how far a hold that fits may be lengthened", () => {
    expect(said([account("Build-up", simple, 140)], [], 10)).toEqual([
      "Build-up has had 140 s at 760 °C of 70 to 190.",
      "A hold of 10 s would bring it to 185 s, within its window; up to 15 s keep it right.",
    ]);
  });

  it("read in °F where that is wanted", () => {
    expect(said([account("Build-up", simple, 140)], [], 10, "fahrenheit")[0]).toBe(
      "Build-up has had 140 s at 1400 °F of 70 to 190.",
    );
  });

  it("say when only no hold keeps a layer right, and when not even that does", () => {
    expect(said([account("Build-up", simple, 154.5)], [], 60)[1]).toBe(
      "A hold of 60 s would bring it to 249 s, above its window; only no hold keeps it right.",
    );
    expect(said([account("Build-up", simple, 180)], [], 0)).toEqual([
      "Build-up has had 180 s at 760 °C of 70 to 190.",
      "A hold of 0 s would bring it to 215 s, above its window; even none would be too much.",
      "Without a hold the bake gives 35 s.",
    ]);
  });

  it("say when a layer is past its window already", () => {
    expect(said([account("Build-up", simple, 200)], [], 10)).toEqual([
      "Build-up has had 200 s at 760 °C of 70 to 190.",
      "That is above its window already, and every bake adds to it.",
    ]);
  });

  it("say what a new layer would be short of", () => {
    expect(said([], [{ name: "Colour", material: wider }], 10)).toEqual([
      "Colour wants 60 to 600 s at 760 °C.",
      "A hold of 10 s would bring it to 45 s, short of its window; from 26 s on it comes right.",
    ]);
  });

  it("say between which holds every layer is right", () => {
    expect(said([account("Build-up", simple, 120)], [{ name: "Colour", material: wider }], 60)[1]).toBe(
      "A hold of 60 s would bring it to 215 s, above its window; 26 to 35 s keep every layer right.",
    );
  });

  it("say when no hold suits two layers, from either side", () => {
    const both: [LayerAccount[], Pick<LayerAccount, "name" | "material">[]] = [
      [account("Build-up", simple, 140)],
      [{ name: "Colour", material: wider }],
    ];
    expect(said(...both, 60)).toEqual([
      "Build-up has had 140 s at 760 °C of 70 to 190.",
      "A hold of 60 s would bring it to 235 s, above its window; up to 15 s keep it right.",
      "Colour needs 26 s or more: no hold of this plan suits both.",
    ]);
    expect(said(...both, 10)).toEqual([
      "Colour wants 60 to 600 s at 760 °C.",
      "A hold of 10 s would bring it to 45 s, short of its window; 26 s would make it right.",
      "Build-up bears 15 s at most: no hold of this plan suits both.",
    ]);
  });

  it("are none for new layers that come out right, and where no layer states a window", () => {
    expect(said([], [{ name: "Build-up", material: simple }], 60)).toEqual([]);
    expect(said([account("Build-up", { ...simple, window: null }, 300)], [], 60)).toEqual([]);
  });

  it.prop([fc.double({ min: 0, max: 300, noNaN: true }), fc.integer({ min: 0, max: 300 }), fc.boolean()])(
    "are three short sentences at most, which order nothing",
    (before, hold, isWider) => {
      const sentences = said(
        [account("Build-up", simple, before)],
        isWider ? [{ name: "Colour", material: wider }] : [],
        hold,
      );
      expect(sentences.length).toBeLessThanOrEqual(3);
      for (const sentence of sentences) {
        expect(sentence.length).toBeLessThan(110);
        expect(sentence).toMatch(/^[A-Z].*\.$/);
        expect(sentence).not.toMatch(/\bmust\b|\bshould\b|^(Hold|Set|Fire|Lower|Shorten)\b|NaN|-\d/);
      }
    },
  );
});
