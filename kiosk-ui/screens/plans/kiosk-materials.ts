import { css, html, LitElement, nothing } from "lit";
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

type View =
  | { readonly kind: "list" | "new" }
  | { readonly kind: "material" | "edit"; readonly materialId: number };

/** A fit: not asked for, on its way, here, or refused with one line. */
type AskedFit =
  | { readonly kind: "none" | "loading" }
  | { readonly kind: "ready"; readonly fit: MaterialFit }
  | { readonly kind: "failed"; readonly message: string };

/**
 * The materials: a list, and each with its constants, where they come from, and what the lab's own graded bakes
 * say of them.
 * @slot - the ways back to what runs
 * @fires closed {CustomEvent} back to the cards
 */
@customElement("kiosk-materials")
export class KioskMaterials extends LitElement {
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon. */
  @property({ attribute: false }) client: PlanDesk | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _view: View = { kind: "list" };
  @state() private _isEditorThere = false;
  @state() private _isRetiredShown = false;
  @state() private _isBusy = false;
  @state() private _said = "";
  @state() private _refusal = "";
  @state() private _fit: AskedFit = { kind: "none" };
  @state() private _answered: ReadonlyMap<number, MaterialRevision> = new Map();
  @query("kiosk-text-field") private _copyName: KioskTextField | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    plansStyles,
    css`
      :host([data-editing]) {
        display: block;
      }
      kiosk-material-editor {
        height: 100%;
      }
      .list {
        display: grid;
        gap: var(--space-2);
      }
      .item {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        align-items: center;
        gap: 2px var(--space-4);
        width: 100%;
        padding: var(--space-2) var(--space-4);
        border-color: transparent;
        color: var(--color-ink);
        text-align: left;
      }
      .name {
        font-size: var(--text-lead);
      }
      .list small {
        display: block;
        margin-top: 3px;
        font-size: var(--text-label);
        font-weight: var(--weight-text);
        color: var(--color-ink-soft);
      }
      .list .about {
        text-align: right;
        font-size: var(--text-caption);
      }
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

  protected override willUpdate() {
    if (this._answered.size > 0 && this.state.materials !== this.#listAnswered) this._answered = new Map();
    const isEditing = this._view.kind === "new" || this._view.kind === "edit";
    this.toggleAttribute("data-editing", isEditing && this._isEditorThere);
  }

  protected override render() {
    const view = this._view;
    switch (view.kind) {
      case "list":
        return this.#renderList();
      case "material":
        return this.#renderMaterial(this.#revision(view.materialId));
      case "new":
        return this.#renderEditor(null);
      case "edit":
        return this.#renderEditor(this.#revision(view.materialId));
    }
  }

  #renderList() {
    const all = this.#materials();
    const retired = all.filter(({ isRetired }) => isRetired);
    const shown = this._isRetiredShown ? all : all.filter(({ isRetired }) => !isRetired);
    return html`
      <div class="head"><h1>${words.title}</h1></div>
      ${
        all.length === 0
          ? html`<div class="sheet state"><h2>${words.none}</h2><p class="soft">${words.noneHelp}</p></div>`
          : html`<kiosk-scroll label=${words.title}>
              <ul class="list">
                ${shown.map((revision) => this.#renderRow(revision))}
                ${retired.length > 0 ? this.#renderSwitch(retired.length) : nothing}
              </ul>
            </kiosk-scroll>`
      }
      <kiosk-foot>
        <div class="foot-left"><slot></slot>${this.#renderSaid()}</div>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>${plansWords.back}</button>
        <button slot="actions" @click=${() => this.#edit({ kind: "new" })}>${words.isNew}</button>
      </kiosk-foot>
    `;
  }

  #renderSwitch(count: number) {
    return html`<li class="switch">
      <button
        aria-pressed=${this._isRetiredShown}
        @click=${() => {
          this._isRetiredShown = !this._isRetiredShown;
        }}
      >
        ${this._isRetiredShown ? plansWords.list.hideRetired : plansWords.list.showRetired(count)}
      </button>
    </li>`;
  }

  #renderRow({ materialId, material, revision, isRetired, savedAtEpochMilliseconds }: MaterialRevision) {
    const window = windowText(material, this.unit);
    const facts = [energyText(material.activationEnergyJoulesPerMole), ...(window ? [window] : [])].join(
      " · ",
    );
    const origin = [...(isRetired ? [words.retired] : []), words.origins[material.origin.kind]].join(", ");
    return html`<li>
      <button class="item" @click=${() => this.#open(materialId)}>
        <span class="name">${material.name}<small>${facts}</small></span>
        <small class="about">
          ${plansWords.list.revision(revision, dayText(savedAtEpochMilliseconds))}<br />${origin}
        </small>
      </button>
    </li>`;
  }

  #renderMaterial(revision: MaterialRevision | null) {
    if (!revision) return this.#renderList();
    const { material, savedAtEpochMilliseconds: at, isRetired } = revision;
    const saved = words.revision(revision.revision, `${dayText(at)} ${timeOfDayText(at)}`);
    return html`
      <div class="head">
        <h1>${material.name}</h1>
        <p class="soft">${[saved, ...(isRetired ? [words.retired] : [])].join(" · ")}</p>
        <p class="done" role="status">${this._said}</p>
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
        <button slot="actions" @click=${this.#toList}>${plansWords.back}</button>
        <button slot="actions" ?disabled=${this._isBusy} @click=${() => this.#retire(revision)}>
          ${isRetired ? plansWords.card.bringBack : words.retire}
        </button>
        <button slot="actions" ?disabled=${this._isBusy} @click=${() => this._copyName?.open()}>${words.copy}</button>
        <button slot="actions" @click=${() => this.#edit({ kind: "edit", materialId: revision.materialId })}>
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
    return html`<div class="fitted" role="status">
      <p>${fit.sentence}</p>
      <dl>
        <dt>${words.fitEnergy}</dt>
        <dd>
          ${
            interval
              ? html`${energyText(fit.activationEnergyJoulesPerMole)}
                  <small>
                    ${words.fitInterval(kilojoules(interval.low), kilojoules(interval.high))};
                    ${words.fitNow(energyText(material.activationEnergyJoulesPerMole))}
                  </small>`
              : html`<small>${words.fitNoInterval}</small>`
          }
        </dd>
        <dt>${words.fitWindow}</dt>
        <dd>
          ${
            window
              ? html`${window}
                  <small>${words.fitNow(windowSpanText(material.window) ?? words.unknown.toLowerCase())}</small>`
              : html`<small>${words.fitNoWindow}</small>`
          }
        </dd>
      </dl>
      <p class="caption soft">${words.takeOverHelp}</p>
    </div>`;
  }

  #renderEditor(revision: MaterialRevision | null) {
    if (!this._isEditorThere)
      return html`<div class="state"><p role="status">${this._refusal || plansWords.loading}</p>
        ${this._refusal ? html`<button @click=${this.#toList}>${plansWords.back}</button>` : nothing}</div>`;
    return html`<kiosk-material-editor
      .revision=${revision}
      .client=${this.client}
      .unit=${this.unit}
      @material-saved=${(event: CustomEvent<MaterialRevision>) =>
        this.#take(event.detail, words.saved(event.detail.revision))}
      @closed=${() => (revision ? this.#open(revision.materialId) : this.#toList())}
      ><slot></slot
    ></kiosk-material-editor>`;
  }

  #renderSaid() {
    if (this._refusal) return html`<p class="said refusal" role="alert">${this._refusal}</p>`;
    return this.state.openBakes.length === 0 ? html`<p class="said">${plansWords.first}</p>` : nothing;
  }

  #materials(): MaterialRevision[] {
    const { materials } = this.state;
    const known = new Set(materials.map(({ materialId }) => materialId));
    return [
      ...materials.map((revision) => this._answered.get(revision.materialId) ?? revision),
      ...[...this._answered.values()].filter(({ materialId }) => !known.has(materialId)),
    ];
  }

  #revision(materialId: number): MaterialRevision | null {
    return this.#materials().find((revision) => revision.materialId === materialId) ?? null;
  }

  #listAnswered: readonly MaterialRevision[] = [];

  #take(revision: MaterialRevision, said: string) {
    this.#listAnswered = this.state.materials;
    this._answered = new Map(this._answered).set(revision.materialId, revision);
    this.#open(revision.materialId);
    this._said = said;
  }

  #open(materialId: number) {
    this.#clear();
    this._view = { kind: "material", materialId };
  }

  readonly #toList = () => {
    this.#clear();
    this._view = { kind: "list" };
  };

  #clear() {
    this._said = "";
    this._refusal = "";
    this._fit = { kind: "none" };
  }

  async #edit(view: View) {
    this.#clear();
    this._view = view;
    try {
      await import("#kiosk-ui/screens/plans/kiosk-material-editor");
      this._isEditorThere = true;
    } catch {
      this._refusal = plansWords.notOpened;
    }
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
      this.#take(revision, said(revision));
    } catch (error) {
      this._refusal = refusalLine(error);
    } finally {
      this._isBusy = false;
    }
  }

  async #askFit({ materialId }: MaterialRevision) {
    if (!this.client) return;
    this._fit = { kind: "loading" };
    const isStillThere = () => this._view.kind === "material" && this._view.materialId === materialId;
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
    "kiosk-materials": KioskMaterials;
  }
}
