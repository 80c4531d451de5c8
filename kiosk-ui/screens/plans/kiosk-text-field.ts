import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { dialogStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";

const words = plansWords.letters;
/** Where its own keys have room; a smaller screen is a telephone's, which brings keys. */
const KEYS_SHOWN = "(min-width: 701px)";
const LETTERS = ["qwertyuiop", "asdfghjkl", "zxcvbnm"];
const FIGURES = ["1234567890", "-/:;()+%&=", ".,?!°'µ"];

/**
 * A line of text by its own keys or by a keyboard: a button that says it and opens them.
 * @fires value-changed {CustomEvent<string>} the text, trimmed; empty where that is allowed
 */
@customElement("kiosk-text-field")
export class KioskTextField extends LitElement {
  /** What is entered here. */
  @property() label = "";
  /** The text as it stands. */
  @property() value = "";
  /** What the button says while there is none. */
  @property() none = "–";
  /** The longest that is taken. */
  @property({ type: Number }) longest = 80;
  /** True where there has to be some text. */
  @property({ type: Boolean }) isRequired = false;
  /** True where another button opens it: the keys alone. */
  @property({ type: Boolean }) isBehind = false;

  /** True for a number with letters in it, which are capitals. */
  @property({ type: Boolean }) isCode = false;

  @state() private _draft = "";
  @state() private _isUpper = false;
  @state() private _isFigures = false;
  @query("dialog") private _dialog: HTMLDialogElement | undefined;
  @query("input") private _input: HTMLInputElement | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    dialogStyles,
    css`
      :host {
        --dialog-width: 1000px;
        display: block;
        min-width: 0;
      }
      .label {
        margin-bottom: 2px;
        color: var(--color-ink-soft);
        font-size: var(--text-label);
      }
      .opener {
        width: 100%;
        padding-block: var(--space-2);
        border-color: var(--color-line-firm);
        color: var(--color-ink);
        font-weight: var(--weight-medium);
        text-align: left;
      }
      .opener.none {
        color: var(--color-ink-soft);
        font-weight: var(--weight-text);
      }
      form {
        display: grid;
        gap: var(--space-2);
      }
      .head {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto auto;
        gap: var(--touch-gap);
      }
      input {
        font-size: var(--text-lead);
        font-weight: var(--weight-strong);
      }
      .keys {
        display: grid;
        gap: var(--space-1);
      }
      .keyrow {
        display: flex;
        justify-content: center;
        gap: var(--space-1);
      }
      .keyrow button {
        flex: 0 1 var(--touch-target);
        padding: 0;
        font-size: var(--text-lead);
      }
      .keyrow .word {
        flex: 1 1 auto;
        font-size: var(--text-label);
      }
      .keyrow .space {
        flex: 4 1 auto;
      }
      @media (max-width: 1100px) {
        dialog {
          padding: var(--space-2);
        }
      }
      @media (max-width: 700px) {
        .keys {
          display: none;
        }
        .head {
          grid-template-columns: 1fr 1fr;
        }
        input {
          grid-column: 1 / -1;
        }
      }
    `,
  ];

  protected override render() {
    const rows = this._isFigures ? FIGURES : LETTERS;
    return html`
      ${this.isBehind ? nothing : this.#renderOpener()}
      <dialog aria-label=${this.label}>
        <form @submit=${this.#onSubmit}>
          <div class="head">
            <input
              aria-label=${this.label}
              autocomplete="off"
              placeholder=${this.label}
              inputmode=${matchMedia(KEYS_SHOWN).matches ? "none" : "text"}
              maxlength=${this.longest}
              .value=${this._draft}
              @input=${this.#onInput}
            />
            <button type="button" class="act" @click=${this.#close}>${plansWords.cancel}</button>
            <button class="act main" ?disabled=${!this.#isFit}>${words.done}</button>
          </div>
          <div class="keys" role="group" aria-label=${words.keys} data-quick>
            ${rows.map((row, index) => this.#renderRow([...row], index === rows.length - 1))}
            <div class="keyrow">
              <button type="button" class="word" @click=${this.#turnFigures}>
                ${this._isFigures ? words.letters : words.figures}
              </button>
              <button type="button" class="word space" @click=${() => this.#type(" ")}>${words.space}</button>
              <button type="button" class="word" @click=${() => this.#set("")}>${words.clear}</button>
            </div>
          </div>
        </form>
      </dialog>
    `;
  }

  #renderOpener() {
    return html`
      <p class="label" aria-hidden="true">${this.label}</p>
      <button
        type="button"
        class="opener ${this.value ? "" : "none"}"
        aria-haspopup="dialog"
        aria-label="${this.label}: ${this.value || this.none}"
        @click=${this.open}
      >
        ${this.value || this.none}
      </button>
    `;
  }

  #renderRow(keys: readonly string[], isLast: boolean) {
    return html`<div class="keyrow">
      ${
        isLast
          ? html`<button type="button" class="word" aria-pressed=${this._isUpper} @click=${this.#shift}>
              ${words.shift}
            </button>`
          : nothing
      }
      ${keys.map((key) => {
        const letter = this._isUpper ? key.toUpperCase() : key;
        return html`<button type="button" @click=${() => this.#type(letter)}>${letter}</button>`;
      })}
      ${
        isLast
          ? html`<button type="button" class="word" @click=${() => this.#set(this._draft.slice(0, -1))}>
              ${words.delete}
            </button>`
          : nothing
      }
    </div>`;
  }

  get #isFit(): boolean {
    return !this.isRequired || this._draft.trim() !== "";
  }

  /** Opens the keys, with the text as it stands. */
  readonly open = () => {
    this.#set(this.value);
    this._isFigures = false;
    if (!this._dialog?.open) this._dialog?.showModal();
    this._input?.focus();
  };

  /** A name begins with a capital; after one letter the keys are small again. */
  #set(text: string) {
    this._draft = text.slice(0, this.longest);
    this._isUpper = this.isCode || this._draft === "";
  }

  #type(key: string) {
    this.#set(this._draft + key);
  }

  readonly #shift = () => {
    this._isUpper = !this._isUpper;
  };

  readonly #turnFigures = () => {
    this._isFigures = !this._isFigures;
  };

  readonly #onInput = (event: Event) => {
    if (event.target instanceof HTMLInputElement) this.#set(event.target.value);
  };

  readonly #close = () => {
    this._dialog?.close();
  };

  readonly #onSubmit = (event: SubmitEvent) => {
    event.preventDefault();
    if (!this.#isFit) return;
    this.#close();
    this.dispatchEvent(new CustomEvent("value-changed", { detail: this._draft.trim() }));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-text-field": KioskTextField;
  }
}
