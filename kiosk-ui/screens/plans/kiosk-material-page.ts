import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import { dayText, type TemperatureUnit, timeOfDayText } from "#kiosk-ui/format";
import { initialKioskState, type KioskState } from "#kiosk-ui/kiosk-state";
import "#kiosk-ui/screens/plans/kiosk-text-field";
import type { KioskTextField } from "#kiosk-ui/screens/plans/kiosk-text-field";
import { type Fitted, withFit } from "#kiosk-ui/screens/plans/material-draft";
import { constantRows, energyText, windowSpanText, windowText } from "#kiosk-ui/screens/plans/material-text";
import { type PlanDesk, refusalLine, retireMaterial, saveMaterial } from "#kiosk-ui/screens/plans/plan-desk";
import { plansStyles } from "#kiosk-ui/screens/plans/plans-styles";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Material, MaterialRevision } from "#shared/material";
import { type MaterialFit, materialFitSchema } from "#shared/material-fit";

const words = plansWords.materials;

/** A material as it is now, and what was done to it in one line. */
export interface MaterialDone {
  readonly revision: MaterialRevision;
  readonly said: string;
}

/** A fit: not asked for, on its way, here, or refused with one line. */
type AskedFit =
  | { readonly kind: "none" | "loading" }
  | { readonly kind: "ready"; readonly fit: MaterialFit }
  | { readonly kind: "failed"; readonly message: string };

/**
 * A material: its constants, where they come from, and what the lab's own graded bakes say of them.
 * @slot - the ways back to what runs
 * @fires closed {CustomEvent} back to the list
 * @fires edit-wanted {CustomEvent} it shall be edited
 * @fires material-done {CustomEvent<MaterialDone>} a copy or a revision was saved, or it was retired or brought back
 */
@customElement("kiosk-material-page")
export class KioskMaterialPage extends LitElement {
  /** The newest revision of the material. */
  @property({ attribute: false }) revision: MaterialRevision | null = null;
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon. */
  @property({ attribute: false }) client: PlanDesk | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** What was just done, in one line. */
  @property() said = "";

  @state() private _isBusy = false;
  @state() private _refusal = "";
  @state() private _fit: AskedFit = { kind: "none" };
  @query("kiosk-text-field") private _copyName: KioskTextField | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    plansStyles,
    css`
      .value {
        font-weight: var(--weight-strong);
      }
      td small {
        display: block;
        font-size: var(--text-caption);
        font-weight: var(--weight-text);
        color: var(--color-ink-soft);
      }
      tbody th {
        width: 34%;
        color: var(--color-ink-soft);
      }
      tbody tr:first-child > * {
        border-top: 0;
      }
      .fitted {
        display: grid;
        gap: var(--space-2);
        margin: var(--space-2) 0;
      }
      .fitted dl {
        display: grid;
        grid-template-columns: auto minmax(0, 1fr);
        gap: 2px var(--space-3);
      }
      .fitted dt {
        color: var(--color-ink-soft);
      }
      .fitted small {
        display: block;
        font-size: var(--text-label);
        font-weight: var(--weight-text);
      }
      .fitted dd {
        font-weight: var(--weight-strong);
      }
      .row {
        margin-top: var(--space-2);
      }
    `,
  ];

  /** What was found for one material says nothing of another. */
  protected override willUpdate(changed: PropertyValues<this>) {
    const before = changed.get("revision");
    if (before && before.materialId !== this.revision?.materialId) this._fit = { kind: "none" };
  }

  protected override render() {
    const { revision } = this;
    if (!revision) return nothing;
    const { material, savedAtEpochMilliseconds: at, isRetired } = revision;
    const saved = words.revision(revision.revision, `${dayText(at)} ${timeOfDayText(at)}`);
    return html`
      <div class="head">
        <h1>${material.name}</h1>
        <p class="soft">${[saved, ...(isRetired ? [words.retired] : [])].join(" · ")}</p>
        <p class="done" role="status">${this.said}</p>
      </div>
      <div class="columns">
        <kiosk-scroll label=${words.constants}>
          <div class="sheet sections">
            <section>
              <h2>${words.constants}</h2>
              ${this.#renderConstants(material)}
            </section>
          </div>
        </kiosk-scroll>
        <kiosk-scroll label=${words.origin}>
          <div class="sheet sections">
            ${this.#renderOrigin(revision)} ${this.#renderFit(revision)} ${this.#renderCards(revision)}
            ${material.notes ? html`<section><h2>${words.notes}</h2><p class="label">${material.notes}</p></section>` : nothing}
          </div>
        </kiosk-scroll>
      </div>
      <kiosk-foot>
        <div class="foot-left"><slot></slot>${this.#renderSaid()}</div>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>${plansWords.back}</button>
        <button slot="actions" ?disabled=${this._isBusy} @click=${() => this.#retire(revision)}>
          ${isRetired ? plansWords.card.bringBack : words.retire}
        </button>
        <button slot="actions" ?disabled=${this._isBusy} @click=${() => this._copyName?.open()}>${words.copy}</button>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("edit-wanted"))}>
          ${words.change}
        </button>
      </kiosk-foot>
      <kiosk-text-field
        class="behind"
        isBehind
        isRequired
        .label=${plansWords.card.nameOfCopy}
        .value=${words.copyName(material.name).slice(0, 80)}
        @value-changed=${(event: CustomEvent<string>) => this.#copy(revision, event.detail)}
      ></kiosk-text-field>
    `;
  }

  #renderConstants(material: Material) {
    return html`<table>
      <tbody>
        ${constantRows(material, this.unit).map(
          ({ name, value, note }) => html`<tr>
            <th scope="row">${name}</th>
            <td>${value ? html`<span class="value">${value}</span>` : nothing}
              ${note ? html`<small>${note}</small>` : nothing}</td>
          </tr>`,
        )}
      </tbody>
    </table>`;
  }

  #renderOrigin({ material, isDemonstration }: MaterialRevision) {
    const isInvented = isDemonstration || material.origin.kind === "invented";
    return html`<section class=${isInvented ? "needs" : ""}>
      <h2>${words.origin}: ${words.origins[material.origin.kind]}</h2>
      ${isInvented ? html`<p><strong>${words.invented}</strong></p>` : nothing}
      <p class="label">${material.origin.statement}</p>
    </section>`;
  }

  #renderCards({ materialId }: MaterialRevision) {
    const cards = this.state.plans.filter((plan) => plan.materialId === materialId && !plan.isRetired);
    return html`<section>
      <h2>${words.usedBy}</h2>
      <p class="label">${cards.length === 0 ? words.usedByNone : cards.map(({ plan }) => plan.name).join(" · ")}</p>
    </section>`;
  }

  #renderFit(revision: MaterialRevision) {
    const asked = this._fit;
    const fitted = asked.kind === "ready" && asked.fit.kind === "fitted" ? asked.fit : null;
    return html`<section>
      <h2>${words.fit}</h2>
      ${asked.kind === "failed" ? html`<p class="refusal" role="alert">${asked.message}</p>` : nothing}
      ${asked.kind === "ready" ? this.#renderFound(revision, asked.fit) : html`<p class="label soft">${words.fitHelp}</p>`}
      <div class="row">
        <button ?disabled=${asked.kind === "loading"} @click=${() => this.#askFit(revision)}>
          ${asked.kind === "loading" ? words.fitting : words.fit}
        </button>
        ${
          fitted
            ? html`<button
                class="main"
                ?disabled=${this._isBusy || !tellsSomething(fitted)}
                @click=${() => this.#takeOver(revision, fitted)}
              >
                ${words.takeOver}
              </button>`
            : nothing
        }
      </div>
    </section>`;
  }

  #renderFound({ material }: MaterialRevision, fit: MaterialFit) {
    if (fit.kind === "not-enough") return html`<p role="status">${fit.sentence}</p>`;
    const { activationEnergyInterval: interval } = fit;
    const kilojoules = (joules: number) => energyText(joules).replace(`\u00a0${words.energyUnit}`, "");
    const window = windowText({ ...material, window: fit.window }, this.unit);
    // what could not be told is in the sentence
    return html`<div class="fitted" role="status">
      <p>${fit.sentence}</p>
      <dl>
        ${
          interval
            ? html`<dt>${words.fitEnergy}</dt>
                <dd>
                  ${energyText(fit.activationEnergyJoulesPerMole)}
                  <small>
                    ${words.fitInterval(kilojoules(interval.low), kilojoules(interval.high))};
                    ${words.fitNow(energyText(material.activationEnergyJoulesPerMole))}
                  </small>
                </dd>`
            : nothing
        }
        ${
          window
            ? html`<dt>${words.fitWindow}</dt>
                <dd>
                  ${window}
                  <small>${words.fitNow(windowSpanText(material.window) ?? words.unknown.toLowerCase())}</small>
                </dd>`
            : nothing
        }
      </dl>
      <p class="caption soft">${words.takeOverHelp}</p>
    </div>`;
  }

  #renderSaid() {
    if (this._refusal) return html`<p class="said refusal" role="alert">${this._refusal}</p>`;
    return this.state.openBakes.length === 0 ? html`<p class="said">${plansWords.first}</p>` : nothing;
  }

  #copy({ material }: MaterialRevision, name: string) {
    void this.#do(
      (client) => saveMaterial(client, null, { ...material, name }),
      () => words.copied,
    );
  }

  #retire({ materialId, isRetired }: MaterialRevision) {
    const said = isRetired ? words.isBack : words.isRetired;
    void this.#do(
      (client) => retireMaterial(client, materialId, !isRetired),
      () => said,
    );
  }

  #takeOver({ materialId, material }: MaterialRevision, fit: Fitted) {
    const changed = withFit(material, fit, dayText(Date.now()));
    void this.#do(
      (client) => saveMaterial(client, materialId, changed),
      ({ revision }) => words.tookOver(revision),
    );
  }

  async #do(
    ask: (client: PlanDesk) => Promise<MaterialRevision>,
    said: (revision: MaterialRevision) => string,
  ) {
    if (!this.client || this._isBusy) return;
    this._isBusy = true;
    this._refusal = "";
    try {
      const revision = await ask(this.client);
      this._fit = { kind: "none" };
      const detail: MaterialDone = { revision, said: said(revision) };
      if (this.isConnected) this.dispatchEvent(new CustomEvent("material-done", { detail }));
    } catch (error) {
      this._refusal = refusalLine(error);
    } finally {
      this._isBusy = false;
    }
  }

  async #askFit({ materialId }: MaterialRevision) {
    if (!this.client) return;
    this._fit = { kind: "loading" };
    const isStillThere = () => this.revision?.materialId === materialId;
    try {
      const fit = await this.client.ask(`/api/materials/${materialId}/fit`, materialFitSchema, {});
      if (isStillThere()) this._fit = { kind: "ready", fit };
    } catch (error) {
      if (isStillThere()) this._fit = { kind: "failed", message: refusalLine(error) };
    }
  }
}

function tellsSomething({ activationEnergyInterval, window }: Fitted): boolean {
  return activationEnergyInterval !== null || window !== null;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-material-page": KioskMaterialPage;
  }
  interface HTMLElementEventMap {
    "material-done": CustomEvent<MaterialDone>;
  }
}
