import { css, html, LitElement } from "lit";
import { customElement, property } from "lit/decorators.js";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

const ROWS = [
  ["1", "2", "3"],
  ["4", "5", "6"],
  ["7", "8", "9"],
] as const;
const LONGEST = 40;

/**
 * Keys for a job number, for wet fingers.
 * @fires value-changed {CustomEvent<string>} the text after a key; the owner decides whether to take it
 */
@customElement("kiosk-keypad")
export class KioskKeypad extends LitElement {
  /** The text so far. */
  @property() value = "";

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      :host {
        display: block;
      }
      div {
        display: grid;
        grid-template-columns: repeat(4, minmax(var(--touch-target), 1fr));
        gap: var(--space-2);
      }
      button {
        padding: 0;
        font-size: var(--text-title);
      }
      @media (max-width: 700px) {
        div {
          gap: var(--space-1);
        }
      }
      .word {
        font-size: var(--text-label);
      }
    `,
  ];

  protected override render() {
    const [top, middle, bottom] = ROWS;
    return html`<div role="group" aria-label=${words.begin.keypad} data-quick>
      ${top.map((key) => this.#renderKey(key))}
      <button class="word" @click=${() => this.#change(this.value.slice(0, -1))}>${words.begin.delete}</button>
      ${middle.map((key) => this.#renderKey(key))}
      <button class="word" @click=${() => this.#change("")}>${words.begin.clear}</button>
      ${bottom.map((key) => this.#renderKey(key))} ${this.#renderKey("0")}
    </div>`;
  }

  #renderKey(key: string) {
    return html`<button @click=${() => this.#change(this.value + key)}>${key}</button>`;
  }

  #change(value: string) {
    if (value.length > LONGEST) return;
    this.dispatchEvent(new CustomEvent("value-changed", { detail: value }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-keypad": KioskKeypad;
  }
}
