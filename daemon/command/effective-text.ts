import { conditionName, frameworkName, type NumberSource, PLAN_NUMBER_NAMES } from "#core/plan/adapt";
import type { PlanWorth } from "#core/plan/adaptation-effects";
import type { BakeCase } from "#core/plan/bake-case";
import type { AdaptationCondition, PlanNumber } from "#core/plan/card";
import { topCelsius } from "#core/plan/plan";
import { type FittedCard, isFirable, worthRatios } from "#daemon/command/fitted-card";
import { columns } from "#daemon/command/output";

const NOTHING = "–";

const UNITS: Readonly<Record<PlanNumber, string>> = {
  drying: "s",
  closing: "s",
  low: "°C",
  "low-hold": "s",
  "climb-rate": "K/min",
  top: "°C",
  "top-hold": "s",
  "vacuum-on": "°C",
  "vacuum-level": "hPa",
};

/**
 * A fitted card as a person reads it in a terminal: the numbers and where each came from, what each adaptation
 * does to heat work, flow length and length, and what is wrong with the plan.
 */
export function effectiveText(fitted: FittedCard): string {
  const { card, bakeCase, furnaceId, effective, findings } = fitted;
  const head = [card.plan.name, ...caseWords(bakeCase), ...(furnaceId ? [`furnace ${furnaceId}`] : [])];
  const title = `${head.join(", ")}\n`;
  if (!effective.ok)
    return `${title}gives no plan\n${effective.refusals.map(({ sentence }) => `refused  ${sentence}\n`).join("")}`;
  return [
    title,
    isFirable(fitted) ? "" : "cannot be fired\n",
    ...findings.map(({ refuses, sentence }) => `${refuses ? "refused" : "note   "}  ${sentence}\n`),
    "\n",
    ...sourceLines(effective.sources),
    "\n",
    effectsText(fitted),
  ].join("");
}

function caseWords(bakeCase: BakeCase | null): string[] {
  if (!bakeCase) return [];
  const { framework, caseSize, bake } = bakeCase;
  return [frameworkName(framework), `${caseSize} case`, `${bake} bake`];
}

function sourceLines(sources: readonly NumberSource[]): string[] {
  const rows = sources.filter(({ value, parts }) => value !== null || parts.length > 0);
  const nameWidth = Math.max(...rows.map(({ number }) => PLAN_NUMBER_NAMES[number].length));
  const values = rows.map(valueText);
  const valueWidth = Math.max(...values.map((text) => text.length));
  return rows.map((source, index) => {
    const name = PLAN_NUMBER_NAMES[source.number].padEnd(nameWidth);
    const value = (values[index] ?? "").padStart(valueWidth);
    return `  ${[name, value, partsText(source)].join("  ").trimEnd()}\n`;
  });
}

function valueText({ number, value, parts }: NumberSource): string {
  if (number === "cooling") return coolingText(parts[0]?.change);
  return value === null ? NOTHING : `${value} ${UNITS[number]}`;
}

function coolingText(change: NumberSource["parts"][number]["change"] | undefined): string {
  if (change?.kind !== "cooling") return NOTHING;
  return change.to.kind === "free"
    ? "free"
    : `to ${change.to.toCelsius} °C at ${change.to.kelvinPerMinute} K/min`;
}

/** "760 from the card, −10 large case" and what the adaptations rest on. */
function partsText({ number, base, parts, value }: NumberSource): string {
  if (parts.length === 0) return "";
  if (number !== "cooling" && value === null) return "not in this plan, so not changed";
  const from = base === null ? [] : [`${base} from the card`];
  const changes = parts.map(({ when, change }) => `${changeText(change)} ${shortName(when)}`.trimStart());
  const bases = [...new Set(parts.flatMap(({ basis }) => basis ?? []))];
  const rests = bases.length > 0 ? `  (${bases.join("; ")})` : "";
  return `${[...from, ...changes].join(", ")}${rests}`;
}

function changeText(change: NumberSource["parts"][number]["change"]): string {
  if (change.kind === "shift") return change.by < 0 ? `−${-change.by}` : `+${change.by}`;
  return change.kind === "set" ? `${change.to}:` : "";
}

function shortName(when: AdaptationCondition): string {
  return when.kind === "furnace" ? "this furnace" : conditionName(when);
}

function effectsText({
  card,
  bakeCase,
  material,
  activationEnergyJoulesPerMole,
  effects,
}: FittedCard): string {
  if (!effects) return "";
  const kilojoules = activationEnergyJoulesPerMole / 1000;
  const { base, steps, effective } = effects;
  const rows = [
    ["", "chamber", "", "ware", "", "flow length", "", "length"],
    ["base plan", ...worthCells(null, base)],
    ...steps.map(({ when, before, after }) => [conditionName(when), ...worthCells(before, after)]),
    ...(steps.length > 1 ? [["in all", ...worthCells(base, effective)]] : []),
  ];
  return [
    columns(rows),
    "\n",
    `Heat work in s at ${topCelsius(card.plan)} °C, ${kilojoules} kJ/mol${material ? ` (${material.name}, ${material.origin.kind})` : ""}; a free cooling is left out.\n`,
    bakeCase ? "The ware is an estimate: what a usual case of its size takes up by radiation alone.\n" : "",
  ].join("");
}

function worthCells(before: PlanWorth | null, after: PlanWorth): string[] {
  const ratios = before && worthRatios(before, after);
  return [
    seconds(after.chamberEquivalentSeconds),
    times(ratios?.chamber),
    seconds(after.wareEquivalentSeconds),
    times(ratios?.ware),
    after.flowLengthMicrometres === null ? NOTHING : `${after.flowLengthMicrometres.toFixed(1)} µm`,
    times(ratios?.flowLength),
    `${(after.lengthSeconds / 60).toFixed(1)} min`,
  ];
}

function seconds(value: number | null): string {
  return value === null ? NOTHING : `${value.toFixed(1)} s`;
}

function times(ratio: number | null | undefined): string {
  return ratio === null || ratio === undefined ? "" : `×${ratio.toFixed(2)}`;
}
