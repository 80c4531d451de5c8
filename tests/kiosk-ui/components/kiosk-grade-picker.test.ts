// @vitest-environment happy-dom
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import "#kiosk-ui/components/kiosk-grade-picker";
import type { KioskGradePicker } from "#kiosk-ui/components/kiosk-grade-picker";
import type { GradeWord } from "#shared/grade";

let picker: KioskGradePicker;
let chosen: GradeWord[];

beforeEach(async () => {
  picker = document.createElement("kiosk-grade-picker");
  chosen = [];
  picker.addEventListener("grade-chosen", (event) => chosen.push(event.detail));
  document.body.append(picker);
  await picker.updateComplete;
});
afterEach(() => picker.remove());

function grades(): HTMLButtonElement[] {
  return [...picker.renderRoot.querySelectorAll<HTMLButtonElement>("[role=radio]")];
}

async function press(key: string) {
  const focused = picker.shadowRoot?.activeElement;
  focused?.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
  await picker.updateComplete;
}

describe("the grade picker", () => {
  it("has the five grades from too little heat to too much, in one radio group", () => {
    expect(picker.renderRoot.querySelector("[role=radiogroup]")?.getAttribute("aria-label")).toBe(
      "How did it come out?",
    );
    expect(grades().map((grade) => grade.textContent?.trim())).toEqual([
      "raw",
      "milky",
      "right",
      "glassy",
      "slumped",
    ]);
  });

  it("tells the grade that was tapped and leaves the decision to its owner", async () => {
    grades()[1]?.click();
    await picker.updateComplete;
    expect(chosen).toEqual(["milky"]);
    expect(grades().map((grade) => grade.getAttribute("aria-checked"))).toEqual(Array(5).fill("false"));
  });

  it("shows the grade that it is given", async () => {
    picker.grade = "glassy";
    await picker.updateComplete;
    const checked = grades().filter((grade) => grade.getAttribute("aria-checked") === "true");
    expect(checked.map((grade) => grade.textContent?.trim())).toEqual(["glassy"]);
  });

  it("is one stop by keyboard, along which arrows go without choosing", async () => {
    picker.grade = "right";
    await picker.updateComplete;
    expect(grades().map((grade) => grade.tabIndex)).toEqual([-1, -1, 0, -1, -1]);
    grades()[2]?.focus();
    await press("ArrowRight");
    await press("ArrowRight");
    await press("ArrowRight");
    expect(picker.shadowRoot?.activeElement?.textContent?.trim()).toBe("raw");
    await press("ArrowLeft");
    expect(picker.shadowRoot?.activeElement?.textContent?.trim()).toBe("slumped");
    expect(chosen).toEqual([]);
  });

  it("takes nothing while a grade is being saved", async () => {
    picker.isBusy = true;
    await picker.updateComplete;
    grades()[0]?.click();
    expect(chosen).toEqual([]);
  });
});
