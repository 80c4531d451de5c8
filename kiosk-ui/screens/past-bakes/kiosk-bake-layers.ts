import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { planRows } from "#kiosk-ui/screens/begin/plan-rows";
import type { Asked } from "#kiosk-ui/screens/past-bakes/bake-library";
import {
  jobBakesText,
  type LayerRow,
  layerRows,
  uncountedRows,
} from "#kiosk-ui/screens/past-bakes/layer-table";
import { tableStyles } from "#kiosk-ui/screens/past-bakes/past-bakes-styles";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import type { BakeDetail } from "#shared/bake";
import type { JobLedger } from "#shared/layer";
import type { BakePlan } from "#shared/plan";

/** What went in: where the plan's numbers came from, and what each layer of the job has had. */
@customElement("kiosk-bake-layers")
export class KioskBakeLayers extends LitElement {
  /** The bake. */
  @property({ attribute: false }) detail: BakeDetail | null = null;
  /** The layers of its job over all bakes, on its way, here or refused; null without a job number. */
  @property({ attribute: false }) ledger: Asked<JobLedger> | null = null;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    tableStyles,
    css`
      :host {
        display: block;
      }
      h3 {
        margin: var(--space-3) 0 var(--space-2);
        color: var(--color-ink-soft);
        font-size: var(--text-label);
        font-weight: var(--weight-text);
      }
      dl {
        display: grid;
        grid-template-columns: auto auto minmax(0, 1fr);
        gap: var(--space-1) var(--space-3);
        align-items: baseline;
        font-size: var(--text-label);
        line-height: 1.3;
      }
      dl > div {
        display: contents;
      }
      dd {
        font-weight: var(--weight-strong);
        white-space: nowrap;
      }
      dd + dd {
        color: var(--color-ink-soft);
        font-weight: var(--weight-text);
        white-space: normal;
      }
      td small {
        white-space: nowrap;
      }
      small {
        display: block;
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
        font-weight: var(--weight-text);
      }
      p.caption {
        margin-top: var(--space-2);
      }
    `,
  ];

  protected override render() {
    const { detail } = this;
    if (!detail) return nothing;
    const { bake, plan } = detail;
    return html`
      <h2>${words.caseAndLayers}</h2>
      ${bake.case ? nothing : html`<p class="soft label">${words.caseUnknown}</p>`}
      ${plan && bake.case ? this.#renderSources(plan) : nothing} ${this.#renderLayers(detail)}
    `;
  }

  #renderSources({ plan, sources }: BakePlan) {
    const rows = planRows(plan, sources, this.unit).filter((row) => row.sources.length > 0);
    if (rows.length === 0) return html`<p class="soft label">${words.asCard}</p>`;
    return html`<h3>${words.whereFrom}</h3>
      <dl>
        ${rows.map(
          (row) => html`<div>
            <dt>${row.label}</dt>
            <dd>${row.value}</dd>
            <dd>${row.sources.map((source, index) => html`${index > 0 ? html`<br />` : nothing}${source}`)}</dd>
          </div>`,
        )}
      </dl>`;
  }

  #renderLayers({ bake, layers }: BakeDetail) {
    const { ledger } = this;
    if (ledger?.kind === "ready" && ledger.value.layers.length > 0)
      return html`<h3>${words.layersTitle}</h3>
        ${this.#renderTable(layerRows(ledger.value, bake.id, this.unit))}
        <p class="caption soft">${words.ledgerNote} ${jobBakesText(ledger.value, bake.id)}</p>`;
    if (layers.length === 0) return nothing;
    return html`<h3>${words.layersTitle}</h3>
      ${this.#renderTable(uncountedRows(layers, this.unit))}
      <p class="caption soft" role="status">${whyUncounted(ledger)}</p>`;
  }

  #renderTable(rows: readonly LayerRow[]) {
    return html`<div class="wide">
      <table>
        <thead>
          <tr>
            <th scope="col">${words.layer}</th>
            <th scope="col">${words.inThisBake}</th>
            <th scope="col">${words.inAll}</th>
            <th scope="col">${words.window}</th>
            <th scope="col">${words.stands}</th>
          </tr>
        </thead>
        <tbody>
          ${rows.map(
            (row) => html`<tr>
              <th scope="row">${row.name}${row.material ? html`<small>${row.material}</small>` : nothing}</th>
              <td>${row.inThisBake}</td>
              <td>${row.inAll}${row.byWare ? html`<small>${row.byWare}</small>` : nothing}</td>
              <td class="soft">${row.window}</td>
              <td class=${SIDE_CLASSES[row.side]}>${words.sides[row.side]}</td>
            </tr>`,
          )}
        </tbody>
      </table>
    </div>`;
  }
}

const SIDE_CLASSES: Readonly<Record<LayerRow["side"], string>> = {
  short: "cold",
  right: "",
  excess: "hot",
  unknown: "soft",
};

/** Why the layers stand there without numbers. */
function whyUncounted(ledger: Asked<JobLedger> | null): string {
  if (!ledger) return words.noJobLedger;
  return ledger.kind === "failed" ? ledger.message : words.ledgerLoading;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-bake-layers": KioskBakeLayers;
  }
}
