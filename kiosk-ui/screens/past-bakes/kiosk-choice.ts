import { css, html, LitElement } from "lit";
import { customElement, property, query } from "lit/decorators.js";
import { openerStyles } from "#kiosk-ui/screens/past-bakes/past-bakes-styles";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import { dialogStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";

/** One of the things to choose from. */
export interface Choice {
  readonly value: string;
  readonly name: string;
}

/**
 * One of a few, by touch: a button that says what is chosen and opens the choices as large buttons.
 * @fires choice-made {CustomEvent<string>} the value tapped; the owner decides whether to take it
 */
@customElement("kiosk-choice")
export class KioskChoice extends LitElement {
  /** What is chosen here. */
  @property() label = "";
  /** The choices, in the order shown. */
  @property({ attribute: false }) choices: readonly Choice[] = [];
  /** The chosen value. */
  @property() value = "";
  /** Marks the button, for a filter that leaves something out. */
  @property({ type: Boolean }) isSet = false;

  @query("dialog") private _dialog: HTMLDialogElement | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    dialogStyles,
    openerStyles,
    css`
      ul {
        display: grid;
        grid-template-columns: repeat(auto-fill, minmax(min(220px, 100%), 1fr));
        gap: var(--touch-gap);
      }
      li button {
        width: 100%;
        height: 100%;
      }
    `,
  ];

  protected override render() {
    const chosen = this.choices.find(({ value }) => value === this.value);
    return html`
      <button class="opener ${this.isSet ? "set" : ""}" aria-haspopup="dialog" @click=${this.#open}>
        <small>${this.label}</small><span>${chosen?.name ?? "–"}</span>
      </button>
      <dialog aria-label=${this.label}>
        <header>
          <h1>${this.label}</h1>
          <button @click=${this.#close}>${words.cancel}</button>
        </header>
        <ul>
          ${this.choices.map(
            ({ value, name }) => html`<li>
              <button aria-pressed=${value === this.value} @click=${() => this.#choose(value)}>${name}</button>
            </li>`,
          )}
        </ul>
      </dialog>
    `;
  }

  #open() {
    if (!this._dialog?.open) this._dialog?.showModal();
  }

  #close() {
    this._dialog?.close();
  }

  #choose(value: string) {
    this.#close();
    this.dispatchEvent(new CustomEvent("choice-made", { detail: value }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-choice": KioskChoice;
  }
}
