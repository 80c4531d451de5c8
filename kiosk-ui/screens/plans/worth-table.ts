import { html, nothing, type TemplateResult } from "lit";
import type { AdaptationEffects, PlanWorth } from "#core/plan/adaptation-effects";
import { conditionText, type FurnaceNames } from "#kiosk-ui/components/condition-text";
import { equivalentSecondsText } from "#kiosk-ui/components/equivalent-seconds-text";
import { durationText } from "#kiosk-ui/format";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { flowLengthText, lengthChangeText, percentChangeText } from "#kiosk-ui/screens/plans/worth-text";

const words = plansWords.worth;

/**
 * What the base plan is worth, and what is left of it after each adaptation in turn, so that the shares multiply
 * to the whole; styled by `plansStyles`.
 */
export function worthTable(
  { base, steps, effective }: AdaptationEffects,
  furnaces: FurnaceNames,
): TemplateResult {
  return html`<table>
    <thead>
      <tr>
        <th scope="col">${words.step}</th>
        <th scope="col" class="number">${words.chamber}</th>
        <th scope="col" class="number">${words.ware}</th>
        ${base.flowLengthMicrometres === null ? nothing : html`<th scope="col" class="number">${words.flow}</th>`}
        <th scope="col" class="number">${words.length}</th>
      </tr>
    </thead>
    <tbody>
      ${worthRow(words.base, null, base)}
      ${steps.map(({ when, before, after }) => worthRow(conditionText(when, furnaces), before, after))}
      ${steps.length > 1 ? worthRow(words.all, base, effective, "total") : nothing}
    </tbody>
  </table>`;
}

function worthRow(name: string, before: PlanWorth | null, after: PlanWorth, rowClass = ""): TemplateResult {
  return html`<tr class=${rowClass}>
    <th scope="row">${name}</th>
    ${cell(before?.chamberEquivalentSeconds, after.chamberEquivalentSeconds, equivalentSecondsText)}
    ${cell(before?.wareEquivalentSeconds, after.wareEquivalentSeconds, equivalentSecondsText)}
    ${
      after.flowLengthMicrometres === null
        ? nothing
        : cell(before?.flowLengthMicrometres, after.flowLengthMicrometres, flowLengthText)
    }
    <td class="number">
      ${durationText(after.lengthSeconds)}
      ${before ? html`<small>${lengthChangeText(before.lengthSeconds, after.lengthSeconds)}</small>` : nothing}
    </td>
  </tr>`;
}

function cell(before: number | null | undefined, after: number | null, text: (value: number) => string) {
  if (after === null) return html`<td class="number">${words.unknown}</td>`;
  return html`<td class="number">
    ${text(after)} ${typeof before === "number" ? html`<small>${percentChangeText(before, after)}</small>` : nothing}
  </td>`;
}
