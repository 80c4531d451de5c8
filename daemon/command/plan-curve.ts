import { topCelsius } from "#core/plan/plan";
import { planLengthSeconds, setpointCurve, setpointOnCurve } from "#core/plan/setpoint";
import { callOptions, numberOption } from "#daemon/command/options";
import { GOOD, type Verb, write, writeJson } from "#daemon/command/output";
import { readFirablePlanFile } from "#daemon/command/plan-file";
import type { Plan } from "#shared/plan";

/** `bakeside plan curve PLAN.json [--step SECONDS] [--json]` */
export const run: Verb = async (args, out) => {
  const { values, positionals } = callOptions(
    "plan curve",
    args,
    { json: { type: "boolean" }, step: { type: "string", default: "10" } },
    ["PLAN.json"],
  );
  const stepSeconds = numberOption("plan curve", "step", values.step, { from: 0.1, to: 3600 });
  const plan = await readFirablePlanFile(positionals[0] ?? "");
  const points = curvePoints(plan, stepSeconds);
  if (values.json)
    await writeJson(out, {
      name: plan.name,
      topCelsius: topCelsius(plan),
      lengthSeconds: planLengthSeconds(plan),
      corners: setpointCurve(plan),
      points,
    });
  else
    await write(
      out,
      `seconds,celsius\n${points.map(({ atSeconds, celsius }) => `${round(atSeconds)},${round(celsius)}\n`).join("")}`,
    );
  return GOOD;
};

/** The planned curve at every step, and at its end. */
function curvePoints(plan: Plan, stepSeconds: number): { atSeconds: number; celsius: number }[] {
  const curve = setpointCurve(plan);
  const lengthSeconds = planLengthSeconds(plan);
  const moments = Array.from(
    { length: Math.ceil(lengthSeconds / stepSeconds) },
    (_, index) => index * stepSeconds,
  );
  return [...moments, lengthSeconds].map((atSeconds) => ({
    atSeconds,
    celsius: setpointOnCurve(curve, atSeconds) ?? plan.lowCelsius,
  }));
}

function round(value: number): number {
  return Math.round(value * 1000) / 1000;
}
