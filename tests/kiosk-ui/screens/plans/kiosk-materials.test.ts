// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import type { Material, MaterialRevision } from "#shared/material";
import { MADE_UP_FIT, MADE_UP_FIT_TOO_FEW } from "#tests/helpers/made-up-cards";
import { madeUpMaterials } from "#tests/helpers/made-up-jobs";
import { shownPlans } from "#tests/helpers/shown-plans";

const [, paste] = madeUpMaterials() as [MaterialRevision, MaterialRevision];
const saved = (body: unknown) => ({
  ...paste,
  material: (body as { material: Material }).material,
  revision: 2,
  isDemonstration: false,
});

async function materials(fit: unknown = MADE_UP_FIT) {
  const shown = await shownPlans({
    "/2/revisions": saved,
    "/api/materials": (body) => ({ ...saved(body), materialId: 9, revision: 1 }),
    "/fit": () => fit,
    "/retired": (body) => ({ ...paste, ...(body as object) }),
  });
  await shown.press("Materials");
  const sent = () => (shown.asked.at(-1)?.body as { material: Material } | undefined)?.material;
  return { ...shown, sent };
}

afterEach(() => document.body.replaceChildren());

describe("the materials", () => {
  it("are listed with energy, window and origin", async () => {
    const { text, find } = await materials();
    expect(find(".item")).toHaveLength(3);
    expect(text()).toContain("Demo paste, higher-firing 375 kJ/mol · 60 to 230 s at 760 °C");
    expect(text()).toContain("invented");
  });

  it("lead back to the cards", async () => {
    const { press, button } = await materials();
    await press("Back");
    expect(button("New card")).toBeDefined();
  });
});

describe("a material", () => {
  it("says its constants with units, and plainly that it is invented", async () => {
    const { press, text } = await materials();
    await press(/^Demo paste, higher-firing/);
    expect(text()).toContain("Invented, for practising: not the numbers of any real material.");
    expect(text()).toContain("Pores close 723 to 745 °C");
    expect(text()).toContain("A −2.40, B 3420 K, T0 330 °C log10(η/Pa·s) = A + B/(t − T0)");
    expect(text()).toContain("Cards made for it Demo build-up, higher-firing");
  });

  it("is edited by taps and saved as its next revision", async () => {
    const { press, asked, sent, text } = await materials();
    await press(
      /^Demo paste, higher-firing/,
      "Change",
      "Activation energy: less",
      "Window: At most: more",
      "measured",
    );
    await press("Save");
    expect(asked.at(-1)?.path).toBe("/api/materials/2/revisions");
    expect(sent()).toEqual({
      ...paste.material,
      activationEnergyJoulesPerMole: 370_000,
      window: { leastEquivalentSeconds: 60, mostEquivalentSeconds: 235 },
      origin: { ...paste.material.origin, kind: "measured" },
    });
    expect(text()).toContain("Saved as revision 2.");
  });

  it("cannot be saved with a window turned round", async () => {
    const { press, text, button } = await materials();
    await press(/^Demo paste, higher-firing/, "Change", /^Window: At most: .+ Type it$/, "5", "0", "Done");
    expect(text()).toContain("The window’s least must be below its most.");
    expect((button("Save") as HTMLButtonElement).disabled).toBe(true);
  });

  it("asks before what was changed is left", async () => {
    const { press, text } = await materials();
    await press(/^Demo paste, higher-firing/, "Change", "Activation energy: less", "Cancel");
    expect(text()).toContain("Leave without saving?");
    await press("Leave");
    expect(text()).toContain("375 kJ/mol");
  });

  it("is the beginning of a new one", async () => {
    const { press, asked, sent, text } = await materials();
    await press(/^Demo paste, higher-firing/, "New from copy", "Done");
    expect(asked.at(-1)?.path).toBe("/api/materials");
    expect(sent()).toEqual({ ...paste.material, name: "Demo paste, higher-firing, copy" });
    expect(text()).toContain("This is the copy; change it as you like.");
  });

  it("is retired", async () => {
    const { press, asked, text } = await materials();
    await press(/^Demo paste, higher-firing/, "Retire");
    expect(asked.at(-1)).toEqual({ path: "/api/materials/2/retired", body: { isRetired: true } });
    expect(text()).toContain("Retired.");
  });
});

describe("a fit from graded bakes", () => {
  it("says what it found and changes nothing until it is taken over", async () => {
    const { press, asked, sent, text } = await materials();
    await press(/^Demo paste, higher-firing/, "Fit from graded bakes");
    expect(asked.at(-1)).toEqual({ path: "/api/materials/2/fit", body: {} });
    expect(text()).toContain(MADE_UP_FIT.sentence);
    expect(text()).toContain("Energy 311 kJ/mol between 268 and 357 with 90 %; now 375 kJ/mol");
    expect(text()).toContain("Window 74 to 210 s at 760 °C now 60 to 230 s");
    expect(text()).toContain("Activation energy 375 kJ/mol");
    await press("Take over");
    expect(asked.at(-1)?.path).toBe("/api/materials/2/revisions");
    expect(sent()).toMatchObject({
      activationEnergyJoulesPerMole: 311_000,
      window: { leastEquivalentSeconds: 74, mostEquivalentSeconds: 210 },
      origin: { kind: "fitted" },
    });
    expect(text()).toContain("Taken over as revision 2.");
    expect(text()).toContain("Activation energy 311 kJ/mol");
  });

  it("that has too few bakes offers nothing to take over", async () => {
    const { press, text, button } = await materials(MADE_UP_FIT_TOO_FEW);
    await press(/^Demo paste, higher-firing/, "Fit from graded bakes");
    expect(text()).toContain("Only 3 graded bakes to go by: a fit needs 6 or more.");
    expect(button("Take over")).toBeUndefined();
  });

  it("that tells neither energy nor window cannot be taken over", async () => {
    const { press, button } = await materials({
      ...MADE_UP_FIT,
      activationEnergyInterval: null,
      window: null,
    });
    await press(/^Demo paste, higher-firing/, "Fit from graded bakes");
    expect((button("Take over") as HTMLButtonElement).disabled).toBe(true);
  });
});
