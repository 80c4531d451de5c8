import { css, html, LitElement, nothing, type TemplateResult } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import "#kiosk-ui/components/kiosk-sentence";
import "#kiosk-ui/components/kiosk-stepper";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { formStyles } from "#kiosk-ui/screens/plans/form-styles";
import "#kiosk-ui/screens/plans/kiosk-choices";
import "#kiosk-ui/screens/plans/kiosk-leave-question";
import type { KioskLeaveQuestion } from "#kiosk-ui/screens/plans/kiosk-leave-question";
import "#kiosk-ui/screens/plans/kiosk-text-field";
import { LeaveGuard } from "#kiosk-ui/screens/plans/leave-guard";
import {
  type MaterialPart,
  materialRefusal,
  newMaterial,
  withPartKnown,
} from "#kiosk-ui/screens/plans/material-draft";
import { type PlanDesk, refusalLine, saveMaterial } from "#kiosk-ui/screens/plans/plan-desk";
import { plansStyles } from "#kiosk-ui/screens/plans/plans-styles";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Material, MaterialRevision } from "#shared/material";

const words = plansWords.materials;
const JOULES_PER_KILOJOULE = 1000;
const PERCENT = 100;
const ORIGINS = ["maker", "measured", "fitted", "estimated", "invented"] as const;

/** A bare number of a material, with its unit and bounds. */
interface Bare {
  readonly label: string;
  readonly of: string;
  readonly sign: string;
  readonly value: number;
  readonly step: number;
  readonly min: number;
  readonly max: number;
  readonly decimals?: number;
  readonly changed: (value: number) => Material;
}

/**
 * Edits a material by touch; saving makes its next revision.
 * @slot - the ways back to what runs
 * @fires material-saved {CustomEvent<MaterialRevision>} it was saved
 * @fires closed {CustomEvent} back without saving
 */
@customElement("kiosk-material-editor")
export class KioskMaterialEditor extends LitElement {
  /** The newest revision of the material; null for a new one. */
  @property({ attribute: false }) revision: MaterialRevision | null = null;
  /** The daemon. */
  @property({ attribute: false }) client: PlanDesk | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _draft: Material = newMaterial(words.newName);
  @state() private _isBusy = false;
  @state() private _refusal = "";
  @query("kiosk-leave-question") private _question: KioskLeaveQuestion | undefined;

  #begun: MaterialRevision | null = null;
  #saved: Material = this._draft;
  readonly #guard = new LeaveGuard(
    this,
    () => this.#isChanged,
    () => this._question?.ask() ?? Promise.resolve(true),
  );

  static override styles = [
    baseStyles,
    touchStyles,
    formStyles,
    screenStyles,
    plansStyles,
    css`
      .ways {
        display: contents;
      }
      .forms {
        display: grid;
        gap: var(--space-3);
        padding: var(--space-3) var(--space-4) var(--space-4);
      }
      .fields {
        grid-template-columns: repeat(4, minmax(0, 1fr));
      }
      .fields > kiosk-text-field {
        grid-column: span 2;
      }
      @media (max-width: 1100px) {
        .fields {
          grid-template-columns: repeat(3, minmax(0, 1fr));
        }
        .fields > kiosk-text-field + kiosk-text-field {
          grid-column: span 1;
        }
      }
      @media (max-width: 700px) {
        .fields {
          grid-template-columns: minmax(0, 1fr);
        }
        .fields > kiosk-text-field {
          grid-column: 1;
        }
      }
    `,
  ];

  protected override willUpdate() {
    if (this.hasUpdated || !this.revision) return;
    this.#begun = this.revision;
    this._draft = this.revision.material;
    this.#saved = this._draft;
  }

  protected override render() {
    const title = this.#begun ? words.edit(this.#begun.material.name) : words.isNew;
    const refusal = materialRefusal(this._draft);
    return html`
      <div class="head"><h1>${title}</h1></div>
      <kiosk-scroll label=${title}>
        <div class="sheet forms">
          ${this.#renderNames()} ${this.#renderHeatWork()} ${this.#renderWindow()} ${this.#renderClosure()}
          ${this.#renderViscosity()} ${this.#renderPacking()}
        </div>
      </kiosk-scroll>
      <kiosk-foot>
        <div class="foot-left">
          <div class="ways"><slot></slot></div>
          <kiosk-sentence
            .text=${this._refusal || refusal || this.#readyText()}
            .detail=${plansWords.first}
            ?needsPerson=${this._refusal !== "" || refusal !== null}
          ></kiosk-sentence>
        </div>
        <button slot="actions" class="act" @click=${() => this.#guard.leave(this.#close)}>${plansWords.cancel}</button>
        <button slot="actions" class="act main" ?disabled=${refusal !== null || !this.#canSave} @click=${this.#save}>
          ${this._isBusy ? plansWords.saving : plansWords.save}
        </button>
      </kiosk-foot>
      <kiosk-leave-question></kiosk-leave-question>
    `;
  }

  #renderNames() {
    const { name, origin, notes } = this._draft;
    return html`<section class="group">
      <div class="fields">
        ${this.#text(plansWords.edit.name, name, 80, (text) => ({ ...this._draft, name: text }), true)}
        ${this.#text(words.notes, notes ?? "", 500, (text) => ({ ...this._draft, notes: text || undefined }))}
      </div>
      <kiosk-choices
        .label=${words.origin}
        .value=${origin.kind}
        .choices=${ORIGINS.map((kind) => ({ value: kind, name: words.origins[kind] }))}
        @choice-made=${(event: CustomEvent<Material["origin"]["kind"]>) =>
          this.#set({ ...this._draft, origin: { ...origin, kind: event.detail } })}
      ></kiosk-choices>
      ${this.#text(
        words.statement,
        origin.statement,
        300,
        (statement) => ({ ...this._draft, origin: { ...origin, statement } }),
        true,
      )}
    </section>`;
  }

  #renderHeatWork() {
    const draft = this._draft;
    return html`<section class="group">
      <div class="fields">
        ${this.#bare({
          label: words.energy,
          of: "",
          sign: words.energyUnit,
          value: draft.activationEnergyJoulesPerMole / JOULES_PER_KILOJOULE,
          step: 5,
          min: 50,
          max: 1000,
          changed: (value) => ({ ...draft, activationEnergyJoulesPerMole: value * JOULES_PER_KILOJOULE }),
        })}
        ${this.#celsius(words.reference, draft.referenceCelsius, (referenceCelsius) => ({ ...draft, referenceCelsius }))}
        ${this.#bare({
          label: words.tension,
          of: "",
          sign: "N/m",
          value: draft.surfaceTensionNewtonsPerMetre,
          step: 0.01,
          min: 0.01,
          max: 2,
          decimals: 2,
          changed: (surfaceTensionNewtonsPerMetre) => ({ ...draft, surfaceTensionNewtonsPerMetre }),
        })}
      </div>
      <p class="help">${words.energyNote}</p>
    </section>`;
  }

  #renderWindow() {
    const { window } = this._draft;
    const set = (changes: Partial<NonNullable<Material["window"]>>): Material =>
      window ? { ...this._draft, window: { ...window, ...changes } } : this._draft;
    const seconds = { of: words.window, sign: words.seconds, step: 5, min: 0, max: 100_000 };
    return this.#renderPart("window", words.windowLong, words.windowNone, [
      this.#bare({
        ...seconds,
        label: words.windowLeast,
        value: window?.leastEquivalentSeconds ?? 0,
        changed: (leastEquivalentSeconds) => set({ leastEquivalentSeconds }),
      }),
      this.#bare({
        ...seconds,
        label: words.windowMost,
        value: window?.mostEquivalentSeconds ?? 0,
        min: 1,
        changed: (mostEquivalentSeconds) => set({ mostEquivalentSeconds }),
      }),
    ]);
  }

  #renderClosure() {
    const { closure } = this._draft;
    const set = (changes: Partial<NonNullable<Material["closure"]>>): Material =>
      closure ? { ...this._draft, closure: { ...closure, ...changes } } : this._draft;
    return this.#renderPart("closure", words.closure, words.closureNone, [
      this.#celsius(
        words.closureFrom,
        closure?.fromCelsius ?? 0,
        (fromCelsius) => set({ fromCelsius }),
        words.closure,
      ),
      this.#celsius(
        words.closureTo,
        closure?.toCelsius ?? 0,
        (toCelsius) => set({ toCelsius }),
        words.closure,
      ),
    ]);
  }

  #renderViscosity() {
    const { viscosity } = this._draft;
    const set = (changes: Partial<NonNullable<Material["viscosity"]>>): Material =>
      viscosity ? { ...this._draft, viscosity: { ...viscosity, ...changes } } : this._draft;
    return this.#renderPart(
      "viscosity",
      `${words.viscosity}: ${words.viscosityFormula}`,
      words.viscosityNone,
      [
        this.#bare({
          label: words.vftA,
          of: words.viscosity,
          sign: "",
          value: viscosity?.logPascalSeconds ?? 0,
          step: 0.1,
          min: -20,
          max: 20,
          decimals: 2,
          changed: (logPascalSeconds) => set({ logPascalSeconds }),
        }),
        this.#bare({
          label: words.vftB,
          of: words.viscosity,
          sign: "K",
          value: viscosity?.kelvin ?? 0,
          step: 50,
          min: 1,
          max: 30_000,
          changed: (kelvin) => set({ kelvin }),
        }),
        this.#bare({
          label: words.vftT0,
          of: words.viscosity,
          sign: "°C",
          value: viscosity?.zeroCelsius ?? 0,
          step: 5,
          min: -273,
          max: 800,
          changed: (zeroCelsius) => set({ zeroCelsius }),
        }),
      ],
    );
  }

  #renderPacking() {
    const { packing } = this._draft;
    const set = (changes: Partial<NonNullable<Material["packing"]>>): Material =>
      packing ? { ...this._draft, packing: { ...packing, ...changes } } : this._draft;
    return this.#renderPart("packing", words.packing, words.packingNone, [
      this.#bare({
        label: words.cell,
        of: words.packing,
        sign: "µm",
        value: packing?.cellMicrometres ?? 1,
        step: 0.5,
        min: 0.1,
        max: 1000,
        decimals: 1,
        changed: (cellMicrometres) => set({ cellMicrometres }),
      }),
      this.#bare({
        label: words.density,
        of: words.packing,
        sign: "%",
        value: (packing?.relativeDensity ?? 0) * PERCENT,
        step: 1,
        min: 20,
        max: 90,
        changed: (value) => set({ relativeDensity: value / PERCENT }),
      }),
    ]);
  }

  /** A part that may be unknown: two buttons, and its numbers where it is known. */
  #renderPart(part: MaterialPart, name: string, lack: string, fields: readonly TemplateResult[]) {
    const isKnown = this._draft[part] !== null;
    return html`<section class="group">
      <h2>${name}</h2>
      <div class="fields">
        <kiosk-choices
          isBare
          .label=${name}
          .value=${isKnown ? "known" : "unknown"}
          .choices=${[{ value: "known", name: words.known }, { value: "unknown", name: words.unknown }]}
          @choice-made=${(event: CustomEvent<string>) =>
            this.#set(withPartKnown(this._draft, part, event.detail === "known"))}
        ></kiosk-choices>
        ${isKnown ? fields : nothing}
      </div>
      ${isKnown ? nothing : html`<p class="help">${lack}</p>`}
    </section>`;
  }

  #text(
    label: string,
    value: string,
    longest: number,
    changed: (text: string) => Material,
    isRequired = false,
  ) {
    return html`<kiosk-text-field
      .label=${label}
      .value=${value}
      .none=${plansWords.edit.noNotes}
      .longest=${longest}
      ?isRequired=${isRequired}
      @value-changed=${(event: CustomEvent<string>) => this.#set(changed(event.detail))}
    ></kiosk-text-field>`;
  }

  #bare({ label, of, sign, value, step, min, max, decimals = 0, changed }: Bare) {
    return html`<kiosk-stepper
      kind="bare"
      .label=${label}
      .longLabel=${of ? `${of}: ${label}` : ""}
      .sign=${sign}
      .value=${value}
      .step=${step}
      .min=${min}
      .max=${max}
      .decimals=${decimals}
      @value-changed=${(event: CustomEvent<number | null>) => {
        if (event.detail !== null) this.#set(changed(event.detail));
      }}
    ></kiosk-stepper>`;
  }

  #celsius(label: string, value: number, changed: (value: number) => Material, of = "") {
    return html`<kiosk-stepper
      .label=${label}
      .longLabel=${of ? `${of}: ${label}` : ""}
      .unit=${this.unit}
      .value=${value}
      .min=${300}
      .max=${1300}
      @value-changed=${(event: CustomEvent<number | null>) => {
        if (event.detail !== null) this.#set(changed(event.detail));
      }}
    ></kiosk-stepper>`;
  }

  #set(material: Material) {
    this._draft = material;
    this._refusal = "";
  }

  #readyText(): string {
    if (!this.#begun) return plansWords.edit.readyNew;
    return this.#isChanged
      ? plansWords.edit.ready((this.revision ?? this.#begun).revision + 1)
      : plansWords.edit.nothingChanged;
  }

  get #isChanged(): boolean {
    return JSON.stringify(this._draft) !== JSON.stringify(this.#saved);
  }

  get #canSave(): boolean {
    return !this._isBusy && this.client !== null && (this.#begun === null || this.#isChanged);
  }

  readonly #close = () => {
    this.dispatchEvent(new CustomEvent("closed"));
  };

  readonly #save = async () => {
    const { client } = this;
    if (!client || !this.#canSave) return;
    this._isBusy = true;
    this._refusal = "";
    try {
      const saved = await saveMaterial(client, this.#begun?.materialId ?? null, this._draft);
      this.#saved = this._draft;
      if (this.isConnected) this.dispatchEvent(new CustomEvent("material-saved", { detail: saved }));
    } catch (error) {
      this._refusal = refusalLine(error);
    } finally {
      this._isBusy = false;
    }
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-material-editor": KioskMaterialEditor;
  }
  interface HTMLElementEventMap {
    "material-saved": CustomEvent<MaterialRevision>;
  }
}
