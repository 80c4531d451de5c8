import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import { celsiusFromFahrenheit, fahrenheitFromCelsius } from "#core/units";
import {
  differenceInUnit,
  differenceSign,
  numberText,
  type TemperatureUnit,
  unitSign,
} from "#kiosk-ui/format";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { dialogStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";

const words = checkWords.field;
const KEYS = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "0", "."] as const;
const LONGEST = 8;

/** What a number is, and so how it is shown: °C or °F, K or °F, per minute, or bare. */
export type NumberKind = "temperature" | "difference" | "rate" | "bare";

/**
 * A number by touch: less and more in steps, or typed on its own keys after a touch on the value.
 * The value goes in and out in °C, K and K/min, whatever unit the page shows.
 * @fires number-changed {CustomEvent<number | null>} null where it may be left unsaid; the owner decides
 */
@customElement("kiosk-number-field")
export class KioskNumberField extends LitElement {
  /** What the number is. */
  @property() label = "";
  /** The number, canonical; null when nobody said. */
  @property({ attribute: false }) value: number | null = null;
  /** How it is shown. */
  @property() kind: NumberKind = "difference";
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** One step, in the unit shown. */
  @property({ type: Number }) step = 0.5;
  /** Where stepping begins from nothing, canonical. */
  @property({ type: Number }) start = 0;
  /** Least and most, canonical. */
  @property({ type: Number }) from = 0;
  @property({ type: Number }) to = 100;
  /** Decimals shown. */
  @property({ type: Number }) decimals = 1;
  /** True where it may be left unsaid. */
  @property({ type: Boolean }) isOptional = false;
  /** True for a cell of a table: the value alone, and its label for readers only. */
  @property({ type: Boolean }) isBrief = false;
  /** What stands there while nobody said. */
  @property() unsaid: string = words.none;

  @state() private _typed = "";
  @state() private _isRefused = false;
  @query("dialog") private _dialog: HTMLDialogElement | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    dialogStyles,
    css`
      :host {
        --dialog-width: 460px;
        display: block;
        min-width: 0;
      }
      .label {
        margin-bottom: var(--space-1);
        color: var(--color-ink-soft);
      }
      .steps {
        display: grid;
        grid-template-columns: var(--touch-target) minmax(0, 1fr) var(--touch-target);
        gap: var(--space-1);
      }
      .steps button {
        padding: 0 var(--space-1);
      }
      .step {
        font-size: var(--text-title);
      }
      .value {
        width: 100%;
        padding: 0 var(--space-2);
        border-color: var(--color-line-firm);
        color: var(--color-ink);
        white-space: nowrap;
      }
      .unsaid {
        color: var(--color-ink-soft);
        font-weight: var(--weight-text);
      }
      output {
        display: block;
        min-height: 1.2em;
        margin-bottom: var(--space-2);
        font-size: var(--text-figure);
        font-weight: var(--weight-heavy);
        line-height: 1.2;
      }
      output small {
        font-size: var(--text-lead);
        font-weight: var(--weight-text);
      }
      .keys {
        display: grid;
        grid-template-columns: repeat(3, minmax(var(--touch-target), 1fr));
        gap: var(--space-2);
      }
      .keys .key {
        padding: 0;
        font-size: var(--text-title);
      }
      .end {
        display: grid;
        grid-auto-columns: 1fr;
        grid-auto-flow: column;
        gap: var(--touch-gap);
        margin-top: var(--space-3);
      }
      .refusal {
        margin-bottom: var(--space-2);
        color: var(--color-fault);
        font-weight: var(--weight-strong);
      }
      @media (max-height: 700px) {
        dialog {
          --dialog-width: 620px;
        }
        .keys {
          grid-template-columns: repeat(5, minmax(var(--touch-target), 1fr));
        }
      }
    `,
  ];

  protected override render() {
    return html`
      ${this.isBrief ? nothing : html`<p class="label">${this.label}</p>`}
      ${this.isBrief ? this.#renderValue() : this.#renderSteps()} ${this.#renderKeys()}
    `;
  }

  #renderSteps() {
    return html`<div class="steps" role="group" aria-label=${this.label} data-quick>
      <button type="button" class="step" aria-label=${words.less(this.label)} @click=${() => this.#step(-1)}>
        −
      </button>
      ${this.#renderValue()}
      <button type="button" class="step" aria-label=${words.more(this.label)} @click=${() => this.#step(1)}>+</button>
    </div>`;
  }

  #renderValue() {
    const text = this.#text();
    return html`<button
      type="button"
      class="value ${this.value === null ? "unsaid" : ""}"
      aria-haspopup="dialog"
      aria-label=${words.enter(this.label, text)}
      @click=${this.#open}
    >
      ${text}
    </button>`;
  }

  #renderKeys() {
    const isSigned = this.from < 0;
    return html`<dialog aria-label=${this.label}>
      <p class="label">${this.label}</p>
      <output>${this._typed === "" ? "–" : this._typed.replace("-", "−")} <small>${this.#sign()}</small></output>
      <p class="refusal" role="alert" ?hidden=${!this._isRefused}>
        ${words.bounds(this.#shownText(this.from), this.#shownText(this.to))}
      </p>
      <div class="keys" data-quick>
        ${KEYS.map((key) => html`<button type="button" class="key" @click=${() => this.#type(key)}>${key}</button>`)}
        <button type="button" class="key word" @click=${() => this.#take(this._typed.slice(0, -1))}>
          ${words.delete}
        </button>
        ${
          isSigned
            ? html`<button type="button" class="key word" @click=${this.#turnSign}>${words.sign}</button>`
            : nothing
        }
      </div>
      <div class="end">
        <button type="button" class="act" @click=${this.#close}>${upkeepWords.cancel}</button>
        ${
          this.isOptional
            ? html`<button type="button" class="act" @click=${this.#unsay}>${words.unsay}</button>`
            : nothing
        }
        <button type="button" class="act main" @click=${this.#done}>${words.done}</button>
      </div>
    </dialog>`;
  }

  #text(): string {
    return this.value === null ? this.unsaid : this.#shownText(this.value);
  }

  #shownText(value: number): string {
    return [numberText(this.#shown(value), this.decimals), this.#sign()].filter(Boolean).join("\u00a0");
  }

  #sign(): string {
    switch (this.kind) {
      case "temperature":
        return unitSign(this.unit);
      case "difference":
        return differenceSign(this.unit);
      case "rate":
        return `${differenceSign(this.unit)}/min`;
      case "bare":
        return "";
    }
  }

  #shown(value: number): number {
    if (this.kind === "bare") return value;
    if (this.kind !== "temperature") return differenceInUnit(value, this.unit);
    return this.unit === "fahrenheit" ? fahrenheitFromCelsius(value) : value;
  }

  #canonical(shown: number): number {
    if (this.kind === "bare") return shown;
    if (this.kind !== "temperature") return shown / differenceInUnit(1, this.unit);
    return this.unit === "fahrenheit" ? celsiusFromFahrenheit(shown) : shown;
  }

  /** To the next whole step in a direction, so that stepping tidies what was measured. */
  #step(direction: 1 | -1) {
    if (this.value === null) {
      this.#tell(this.start);
      return;
    }
    const steps = this.#shown(this.value) / this.step;
    const next = direction > 0 ? Math.floor(steps + 1e-6) + 1 : Math.ceil(steps - 1e-6) - 1;
    const value = this.#canonical(Number((next * this.step).toFixed(6)));
    this.#tell(Math.min(this.to, Math.max(this.from, value)));
  }

  readonly #open = () => {
    this._typed = "";
    this._isRefused = false;
    if (!this._dialog?.open) this._dialog?.showModal();
  };

  #type(key: string) {
    if (key === "." && this._typed.includes(".")) return;
    this.#take(this._typed + key);
  }

  readonly #turnSign = () => {
    this.#take(this._typed.startsWith("-") ? this._typed.slice(1) : `-${this._typed}`);
  };

  #take(typed: string) {
    if (typed.length > LONGEST) return;
    this._typed = typed;
    this._isRefused = false;
  }

  readonly #unsay = () => {
    this.#tell(null);
    this.#close();
  };

  /** Nothing typed leaves what was. */
  readonly #done = () => {
    if (this._typed === "") {
      this.#close();
      return;
    }
    const value = this.#canonical(Number(this._typed));
    this._isRefused = !(value >= this.from && value <= this.to);
    if (this._isRefused) return;
    this.#tell(value);
    this.#close();
  };

  readonly #close = () => {
    this._dialog?.close();
  };

  #tell(value: number | null) {
    this.dispatchEvent(new CustomEvent("number-changed", { detail: value }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-number-field": KioskNumberField;
  }
  interface HTMLElementEventMap {
    "number-changed": CustomEvent<number | null>;
  }
}
