import { describe, expect, it } from "vitest";
import { wareText } from "#kiosk-ui/screens/now/ware-text";

const climbing = { celsius: 741.2, slowCelsius: 728.3, fastCelsius: 748.9, heatWorkRatio: null };

describe("the ware under the chamber's number", () => {
  it("is about so much, between its doubts", () => {
    expect(wareText(climbing, "celsius")).toEqual({ about: "ware about 741", between: "728 to 749" });
  });

  it("has its doubts in order while the chamber cools, too", () => {
    const cooling = { ...climbing, slowCelsius: 748.9, fastCelsius: 728.3 };
    expect(wareText(cooling, "celsius").between).toBe("728 to 749");
  });

  it("lies within its doubts at the turn, where a slow and a fast ware are both below it", () => {
    const turning = { ...climbing, celsius: 704.4, slowCelsius: 700.2, fastCelsius: 703.6 };
    expect(wareText(turning, "celsius")).toEqual({ about: "ware about 704", between: "700 to 704" });
  });

  it("has none to tell at rest", () => {
    const atRest = { celsius: 510.2, slowCelsius: 510.1, fastCelsius: 510.3, heatWorkRatio: null };
    expect(wareText(atRest, "celsius")).toEqual({ about: "ware about 510", between: "" });
  });

  it("follows the unit", () => {
    expect(wareText(climbing, "fahrenheit")).toEqual({ about: "ware about 1366", between: "1343 to 1380" });
  });
});
