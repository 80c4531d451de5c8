import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import {
  type QuantityKind,
  type QuantityStyle,
  quantitySign,
  quantityText,
  steppedQuantity,
  typedQuantity,
  typedText,
} from "#kiosk-ui/components/quantity";
import { stepperWords as words } from "#kiosk-ui/components/stepper-words";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { dialogStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";

const KEYS = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "0"] as const;
const LONGEST = 8;
/** A value longer than this is set smaller. */
const LONG_TEXT = 8;
/** Kept pressed so long, a button begins to repeat, ms; tapping does the same, one step a tap. */
const REPEAT_AFTER_MILLISECONDS = 500;
const REPEAT_EVERY_MILLISECONDS = 110;

/**
 * A number set by tapping − and +, for gloved hands; kept pressed they repeat, and a tap on the value opens
 * keys to type it. The value goes in and out canonical, whatever unit the page shows.
 * @fires value-changed {CustomEvent<number | null>} the value asked for, null where it may be left unsaid; the
 *   owner decides whether to take it
 * @cssprop --stepper-value-size - text size of the value
 */
@customElement("kiosk-stepper")
export class KioskStepper extends LitElement {
  /** What the number means, read out before it. */
  @property() label = "";
  /** What it is called where the label alone is ambiguous, for readers of screens. */
  @property() longLabel = "";
  /** The number in °C, K, K/min, s, hPa; null when nobody said. */
  @property({ attribute: false }) value: number | null = null;
  /** What it is counted in. */
  @property() kind: QuantityKind = "temperature";
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** Unit of a bare number. */
  @property() sign = "";
  /** One step, in the unit shown. */
  @property({ type: Number }) step = 5;
  /** Where stepping begins from nothing, canonical. */
  @property({ type: Number }) start = 0;
  /** Least and most, canonical. */
  @property({ type: Number }) min = 0;
  @property({ type: Number }) max = 1300;
  /** Decimals shown. */
  @property({ type: Number }) decimals = 0;
  /** True where it may be left unsaid. */
  @property({ type: Boolean }) isOptional = false;
  /** What stands there while nobody said. */
  @property() unsaid = "–";
  /** True for a difference: more is shown with its plus. */
  @property({ type: Boolean }) isSigned = false;

  @state() private _typed = "";
  @state() private _isRefused = false;
  @query("dialog") private _dialog: HTMLDialogElement | undefined;
  #delay: ReturnType<typeof setTimeout> | undefined;
  #repeat: ReturnType<typeof setInterval> | undefined;
  #hasRepeated = false;

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
        margin-bottom: 2px;
        color: var(--color-ink-soft);
      }
      .steps {
        display: grid;
        grid-template-columns: var(--touch-target) minmax(var(--touch-target), 1fr) var(--touch-target);
        gap: var(--space-1);
      }
      .step {
        padding: 0;
        font-size: var(--text-title);
        user-select: none;
        touch-action: manipulation;
      }
      .value {
        width: 100%;
        padding: 0 2px;
        border-color: transparent;
        background: transparent;
        color: var(--color-ink);
        font-size: var(--stepper-value-size, var(--text-lead));
        white-space: nowrap;
        text-decoration: underline dotted var(--color-line-firm) 2px;
        text-underline-offset: 7px;
      }
      .long {
        font-size: var(--text-label);
      }
      .unsaid {
        color: var(--color-ink-soft);
        font-size: var(--text-label);
        font-weight: var(--weight-text);
        white-space: normal;
      }
      output {
        display: block;
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
      .key {
        padding: 0;
        font-size: var(--text-title);
      }
      .word {
        font-size: var(--text-label);
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

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#release();
  }

  protected override render() {
    const text = this.#text();
    return html`
      <p class="label" aria-hidden="true">${this.label}</p>
      <div class="steps" role="group" aria-label=${this.#name} data-quick>
        ${this.#renderStep(-1, "−", words.less(this.#name))}
        <button
          type="button"
          class="value ${this.value === null ? "unsaid" : ""} ${text.length > LONG_TEXT ? "long" : ""}"
          aria-haspopup="dialog"
          aria-label=${words.enter(this.#name, text)}
          @click=${this.#open}
        >
          ${text}
        </button>
        ${this.#renderStep(1, "+", words.more(this.#name))}
      </div>
      ${this.#renderKeys()}
    `;
  }

  #renderStep(direction: 1 | -1, glyph: string, name: string) {
    const isAtEnd = this.value !== null && this.value === (direction > 0 ? this.max : this.min);
    return html`<button
      type="button"
      class="step"
      aria-label=${name}
      ?disabled=${isAtEnd}
      @pointerdown=${(event: PointerEvent) => this.#press(event, direction)}
      @pointerup=${this.#release}
      @pointerleave=${this.#release}
      @pointercancel=${this.#release}
      @contextmenu=${(event: Event) => event.preventDefault()}
      @click=${() => this.#tap(direction)}
    >
      ${glyph}
    </button>`;
  }

  #renderKeys() {
    const style = this.#style;
    const hasPoint = this.decimals > 0 && this.kind !== "duration";
    return html`<dialog aria-label=${this.#name}>
      <p class="label">${this.#name}</p>
      <output>${typedText(this._typed, style)} <small>${quantitySign(style)}</small></output>
      <p class="refusal" role="alert" ?hidden=${!this._isRefused}>
        ${words.bounds(quantityText(this.min, style), quantityText(this.max, style))}
      </p>
      <div class="keys" data-quick>
        ${KEYS.map((key) => this.#renderKey(key))} ${hasPoint ? this.#renderKey(".") : nothing}
        ${
          this.min < 0
            ? html`<button type="button" class="key word" @click=${this.#turnSign}>+/−</button>`
            : nothing
        }
        <button type="button" class="key word" @click=${() => this.#take(this._typed.slice(0, -1))}>
          ${words.delete}
        </button>
      </div>
      <div class="end">
        <button type="button" class="act" @click=${this.#close}>${words.cancel}</button>
        ${
          this.isOptional
            ? html`<button type="button" class="act" @click=${this.#unsay}>${words.unsay}</button>`
            : nothing
        }
        <button type="button" class="act main" @click=${this.#done}>${words.done}</button>
      </div>
    </dialog>`;
  }

  #renderKey(key: string) {
    return html`<button type="button" class="key" @click=${() => this.#type(key)}>${key}</button>`;
  }

  get #name(): string {
    return this.longLabel || this.label;
  }

  get #style(): QuantityStyle {
    const { kind, unit, decimals, sign, isSigned } = this;
    return { kind, unit, decimals, sign, isSigned };
  }

  #text(): string {
    return this.value === null ? this.unsaid : quantityText(this.value, this.#style);
  }

  #press(event: PointerEvent, direction: 1 | -1) {
    this.#release();
    this.#hasRepeated = false;
    if (event.button !== 0) return;
    this.#delay = setTimeout(() => {
      this.#hasRepeated = true;
      this.#repeat = setInterval(() => this.#step(direction), REPEAT_EVERY_MILLISECONDS);
    }, REPEAT_AFTER_MILLISECONDS);
  }

  readonly #release = () => {
    clearTimeout(this.#delay);
    clearInterval(this.#repeat);
  };

  /** The click that ends a repeating press is no step more. */
  #tap(direction: 1 | -1) {
    this.#release();
    if (!this.#hasRepeated) this.#step(direction);
    this.#hasRepeated = false;
  }

  #step(direction: 1 | -1) {
    const next =
      this.value === null ? this.start : steppedQuantity(this.value, this.step, direction, this.#style);
    const value = Math.min(this.max, Math.max(this.min, next));
    this.#tell(value);
    if (value === this.min || value === this.max) this.#endRepeat();
  }

  /** At its end the button can no longer be pressed, and such a button never says that it was let go. */
  #endRepeat() {
    this.#release();
    this.#hasRepeated = false;
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
    const value = typedQuantity(this._typed, this.#style);
    this._isRefused = value !== null && !(value >= this.min && value <= this.max);
    if (this._isRefused) return;
    if (value !== null) this.#tell(value);
    this.#close();
  };

  readonly #close = () => {
    this._dialog?.close();
  };

  #tell(value: number | null) {
    this.dispatchEvent(new CustomEvent("value-changed", { detail: value }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-stepper": KioskStepper;
  }
}
