import { html, type TemplateResult } from "lit";
import { type FittingHolds, fittingHolds, type LayerForecast, layerForecasts } from "#core/heat/layer-ledger";
import { ledgerSentences } from "#core/heat/ledger-words";
import type { Plan } from "#core/plan/plan";
import { equivalentSecondsText } from "#kiosk-ui/components/equivalent-seconds-text";
import { durationText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { windowSpanText } from "#kiosk-ui/screens/plans/material-text";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import type { JobLedger } from "#shared/layer";

const words = plansWords.whatIf;

/**
 * What the layers of a job have had, what a plan would add, and what they have then, against their windows, with
 * why the bake holds as long as it does; styled by `plansStyles`.
 * @param coolingKelvinPerMinute  how fast the furnace falls from the top by itself
 */
export function jobLayers(
  { jobNumber, layers }: JobLedger,
  plan: Plan,
  unit: TemperatureUnit,
  coolingKelvinPerMinute: number,
): TemplateResult {
  if (layers.length === 0) return html`<p class="label soft">${words.noLayers(jobNumber)}</p>`;
  const accounts = layers.map(({ name, material, portions }) => ({
    name,
    material: material.material,
    portions,
  }));
  const forecasts = layerForecasts(accounts, [], plan, coolingKelvinPerMinute);
  const holds = fittingHolds(accounts, [], plan, coolingKelvinPerMinute);
  const why = ledgerSentences(forecasts, holds, plan, unit);
  const sentences = why.length === 0 && holds ? [holdsText(holds)] : why;
  return html`
    <h2>${words.layers(jobNumber)}</h2>
    <table>
      <thead>
        <tr>
          <th scope="col">${words.layer}</th>
          <th scope="col" class="number">${words.before}</th>
          <th scope="col" class="number">${words.added}</th>
          <th scope="col" class="number">${words.after}</th>
          <th scope="col" class="number">${words.window}</th>
        </tr>
      </thead>
      <tbody>${forecasts.map((forecast) => layerRow(forecast, unit))}</tbody>
    </table>
    <div class="note">${sentences.map((sentence) => html`<p>${sentence}</p>`)}</div>
  `;
}

function layerRow(forecast: LayerForecast, unit: TemperatureUnit): TemplateResult {
  const { sideAfter, material } = forecast;
  return html`<tr>
    <th scope="row">${forecast.name}</th>
    <td class="number">${equivalentSecondsText(forecast.beforeEquivalentSeconds)}</td>
    <td class="number">${equivalentSecondsText(forecast.addedEquivalentSeconds)}</td>
    <td class="number">
      <strong>${equivalentSecondsText(forecast.afterEquivalentSeconds)}</strong>
      <small class="side-${sideAfter}">${words.sides[sideAfter]}</small>
    </td>
    <td class="number">
      ${windowSpanText(material.window) ?? plansWords.worth.unknown}
      <small>${words.at(temperatureWithUnit(material.referenceCelsius, unit))}</small>
    </td>
  </tr>`;
}

function holdsText({ leastSeconds, mostSeconds }: FittingHolds): string {
  if (mostSeconds === null) return words.holdsFrom(durationText(leastSeconds));
  if (mostSeconds < leastSeconds) return words.holdsNone;
  return words.holds(durationText(leastSeconds), durationText(mostSeconds));
}
