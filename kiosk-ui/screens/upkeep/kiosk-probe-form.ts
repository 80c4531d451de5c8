import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { toleranceClasses } from "#core/thermocouple/tolerance";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import type { TemperatureUnit } from "#kiosk-ui/format";
import "#kiosk-ui/screens/upkeep/kiosk-number-field";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { upkeepStyles } from "#kiosk-ui/screens/upkeep/upkeep-styles";
import { upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Furnace } from "#shared/furnace";
import {
  type ProbeSettings,
  probeSettingsSchema,
  type ThermocoupleType,
  thermocoupleTypeSchema,
  UNKNOWN_PROBE,
} from "#shared/probe";

const words = checkWords.form;

/** The half-widths of a data sheet, with their steps in K. */
const WIDTHS = [
  { key: "instrumentAccuracyKelvin", label: words.accuracy, why: words.accuracyWhy, step: 0.1, start: 1 },
  {
    key: "instrumentResolutionKelvin",
    label: words.resolution,
    why: words.resolutionWhy,
    step: 0.1,
    start: 0.1,
  },
  {
    key: "coldJunctionAccuracyKelvin",
    label: words.coldJunction,
    why: words.coldJunctionWhy,
    step: 0.1,
    start: 1,
  },
  { key: "positionKelvin", label: words.position, why: words.positionWhy, step: 0.5, start: 2 },
] as const;

/**
 * What is known of a furnace's thermocouple and its adapter, each with the reason for asking.
 * @slot - the ways back to what runs
 * @fires probe-saved {CustomEvent<ProbeSettings>} the owner sends it
 * @fires closed {CustomEvent} back without saving
 */
@customElement("kiosk-probe-form")
export class KioskProbeForm extends LitElement {
  /** The furnace whose probe it is; what is set is a copy until it is saved. */
  @property({ attribute: false }) furnace: Furnace | null = null;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** True while it is being saved. */
  @property({ type: Boolean }) isBusy = false;
  /** Why it was not saved; empty when it was. */
  @property() refusal = "";

  @state() private _draft: ProbeSettings = UNKNOWN_PROBE;
  #furnaceId: string | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    upkeepStyles,
    css`
      .choices {
        display: flex;
        flex-wrap: wrap;
        gap: var(--touch-gap);
      }
      .choices .letter {
        font-size: var(--text-lead);
      }
      .why {
        margin-top: var(--space-1);
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
      }
      .fields {
        align-items: start;
      }
    `,
  ];

  /** Once for a furnace: what the daemon tells meanwhile leaves what is being set alone. */
  protected override willUpdate(changed: PropertyValues<this>) {
    if (!changed.has("furnace") || !this.furnace || this.furnace.id === this.#furnaceId) return;
    this.#furnaceId = this.furnace.id;
    this._draft = probeSettingsSchema.parse(this.furnace.probe);
  }

  protected override render() {
    const { furnace } = this;
    if (!furnace) return nothing;
    return html`
      <div class="head"><h1>${words.title(furnace.name)}</h1></div>
      <kiosk-scroll label=${words.title(furnace.name)}>
        <div class="sheet stack">
          ${this.refusal ? html`<p class="refusal" role="alert">${this.refusal}</p>` : nothing}
          ${
            furnace.probe.correction && this._draft.type !== furnace.probe.type
              ? html`<p class="needs">${words.correctionStays}</p>`
              : nothing
          }
          ${this.#renderType()} ${this.#renderClass()}
          <div class="fields">${WIDTHS.map((width) => this.#renderWidth(width))}</div>
        </div>
      </kiosk-scroll>
      <kiosk-foot>
        <slot></slot>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>
          ${upkeepWords.cancel}
        </button>
        <button slot="actions" class="main" ?disabled=${this.isBusy} @click=${this.#save}>${upkeepWords.save}</button>
      </kiosk-foot>
    `;
  }

  #renderType() {
    const { type } = this._draft;
    return html`<div class="choice" role="group" aria-label=${words.type}>
      <p>${words.type}</p>
      <div class="choices">
        ${thermocoupleTypeSchema.options.map(
          (letter) =>
            html`<button class="letter" aria-pressed=${letter === type} @click=${() => this.#setType(letter)}>
              ${letter}
            </button>`,
        )}
        <button aria-pressed=${type === null} @click=${() => this.#setType(null)}>${words.unknown}</button>
      </div>
      <p class="why">${words.typeWhy}</p>
    </div>`;
  }

  #renderClass() {
    const { type, toleranceClass } = this._draft;
    const choices = type === null ? [] : toleranceClasses(type);
    return html`<div class="choice" role="group" aria-label=${words.toleranceClass}>
      <p>${words.toleranceClass}</p>
      <div class="choices">
        ${
          type === null
            ? html`<p>${words.classNeedsType}</p>`
            : [...choices, null].map(
                (choice) =>
                  html`<button
                    aria-pressed=${choice === toleranceClass}
                    @click=${() => this.#set({ toleranceClass: choice })}
                  >
                    ${choice === null ? words.unknown : upkeepWords.probe.classes[choice]}
                  </button>`,
              )
        }
      </div>
      <p class="why">${words.classWhy}</p>
    </div>`;
  }

  #renderWidth({ key, label, why, step, start }: (typeof WIDTHS)[number]) {
    return html`<div>
      <kiosk-number-field
        .label=${label}
        .unit=${this.unit}
        .value=${this._draft[key]}
        .step=${step}
        .start=${start}
        .to=${200}
        .decimals=${2}
        isOptional
        @number-changed=${(event: CustomEvent<number | null>) => this.#set({ [key]: event.detail })}
      ></kiosk-number-field>
      <p class="why">${why}</p>
    </div>`;
  }

  /** A class that says nothing for the new type goes with the old one. */
  #setType(type: ThermocoupleType | null) {
    const { toleranceClass } = this._draft;
    const stays = type !== null && toleranceClass !== null && toleranceClasses(type).includes(toleranceClass);
    this.#set({ type, toleranceClass: stays ? toleranceClass : null });
  }

  #set(change: Partial<ProbeSettings>) {
    this._draft = { ...this._draft, ...change };
  }

  readonly #save = () => {
    this.dispatchEvent(new CustomEvent("probe-saved", { detail: this._draft }));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-probe-form": KioskProbeForm;
  }
  interface HTMLElementEventMap {
    "probe-saved": CustomEvent<ProbeSettings>;
  }
}
