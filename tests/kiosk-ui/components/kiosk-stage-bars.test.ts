// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { KioskStageBars } from "#kiosk-ui/components/kiosk-stage-bars";
import type { StageBar, StageKind } from "#kiosk-ui/screens/now/bake-progress";

const bar = (kind: StageKind, change: Partial<StageBar> = {}): StageBar => ({
  kind,
  celsius: null,
  lengthSeconds: null,
  doneFraction: 0,
  isNow: false,
  ...change,
});
const climb = (celsius: number, change: Partial<StageBar> = {}) => bar("climb", { celsius, ...change });
const hold = (lengthSeconds: number) => bar("hold", { lengthSeconds });

async function shown(bars: readonly StageBar[]) {
  const element = new KioskStageBars();
  element.bars = bars;
  document.body.append(element);
  await element.updateComplete;
  const rows = [...element.renderRoot.querySelectorAll("li")];
  return {
    seen: rows.map((row) => row.textContent?.trim()),
    read: rows.map((row) => row.getAttribute("aria-label")),
  };
}

afterEach(() => document.body.replaceChildren());

describe("the bars of the stages", () => {
  it("have their whole names while they are few", async () => {
    const { seen } = await shown([bar("drying"), climb(760), hold(60), bar("cooling")]);
    expect(seen).toEqual(["Drying", "Climb to 760", "Hold 1:00", "Cooling"]);
  });

  it("have their numbers alone where they are many, but for the one that runs; readers hear whole names", async () => {
    const now = climb(730, { isNow: true, doneFraction: 0.5 });
    const { seen, read } = await shown([bar("drying"), climb(600), hold(60), now, hold(45), bar("cooling")]);
    expect(seen).toEqual(["Drying", "600", "1:00", "Climb to 730", "0:45", "Cooling"]);
    expect(read[1]).toBe("Climb to 600, to come");
  });
});
