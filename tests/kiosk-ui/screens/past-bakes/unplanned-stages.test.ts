import { expect, it } from "vitest";
import { unplannedStages } from "#kiosk-ui/screens/past-bakes/unplanned-stages";
import { sampled, trace } from "#tests/helpers/trace";

it("a bake without a plan is told stage by stage", () => {
  const bake = sampled(trace("0:510 3:510 8:735 9:735 12:555"), 1);
  expect(unplannedStages(bake, "celsius").map((stage) => stage.replaceAll("\u00a0", " "))).toEqual([
    "Held at 510 °C for 3:00",
    "Climbed from 510 °C to 735 °C at 45 K/min",
    "Held at 735 °C for 1:00",
    "Cooled from 735 °C to 555 °C at 60 K/min",
  ]);
});

it("nothing is told of a handful of readings", () => {
  expect(unplannedStages(trace("0:510 1:520"), "celsius")).toEqual([]);
});
