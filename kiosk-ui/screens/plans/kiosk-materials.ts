import { css, html, LitElement, nothing } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import { dayText, type TemperatureUnit } from "#kiosk-ui/format";
import { initialKioskState, type KioskState } from "#kiosk-ui/kiosk-state";
import "#kiosk-ui/screens/plans/kiosk-material-page";
import type { MaterialDone } from "#kiosk-ui/screens/plans/kiosk-material-page";
import { energyText, windowText } from "#kiosk-ui/screens/plans/material-text";
import type { PlanDesk } from "#kiosk-ui/screens/plans/plan-desk";
import { plansStyles } from "#kiosk-ui/screens/plans/plans-styles";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { MaterialRevision } from "#shared/material";

const words = plansWords.materials;

type View =
  | { readonly kind: "list" | "new" }
  | { readonly kind: "material" | "edit"; readonly materialId: number };

/**
 * The materials: a list, and from it each one's page and its editor.
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
  @state() private _said = "";
  @state() private _refusal = "";
  @state() private _answered: ReadonlyMap<number, MaterialRevision> = new Map();

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    plansStyles,
    css`
      :host([data-page]) {
        display: block;
      }
      kiosk-material-page,
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
    `,
  ];

  protected override willUpdate() {
    if (this._answered.size > 0 && this.state.materials !== this.#listAnswered) this._answered = new Map();
    this.toggleAttribute("data-page", this._view.kind !== "list");
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
    return html`<kiosk-material-page
      .revision=${revision}
      .state=${this.state}
      .client=${this.client}
      .unit=${this.unit}
      .said=${this._said}
      @material-done=${(event: CustomEvent<MaterialDone>) => this.#take(event.detail)}
      @edit-wanted=${() => this.#edit({ kind: "edit", materialId: revision.materialId })}
      @closed=${this.#toList}
      ><slot></slot
    ></kiosk-material-page>`;
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
        this.#take({ revision: event.detail, said: words.saved(event.detail.revision) })}
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

  #take({ revision, said }: MaterialDone) {
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
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-materials": KioskMaterials;
  }
}
