import { css, html, LitElement } from "lit";
import { customElement, query } from "lit/decorators.js";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { dialogStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";

const words = plansWords.edit;

/** Asks whether what was changed shall be left unsaved. */
@customElement("kiosk-leave-question")
export class KioskLeaveQuestion extends LitElement {
  @query("dialog") private _dialog: HTMLDialogElement | undefined;
  #answer: ((isLeaving: boolean) => void) | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    dialogStyles,
    css`
      :host {
        --dialog-width: 520px;
      }
      .ends {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: var(--touch-gap);
        margin-top: var(--space-4);
      }
    `,
  ];

  /** Asks; resolves with true for leaving. */
  ask(): Promise<boolean> {
    if (!this._dialog?.open) this._dialog?.showModal();
    return new Promise((resolve) => {
      this.#answer = resolve;
    });
  }

  protected override render() {
    return html`<dialog aria-label=${words.leave} @close=${() => this.#tell(false)}>
      <h1>${words.leave}</h1>
      <p class="soft">${words.leaveHelp}</p>
      <div class="ends">
        <button class="act" @click=${() => this.#tell(true)}>${words.leaveYes}</button>
        <button class="act main" @click=${() => this.#tell(false)}>${words.stay}</button>
      </div>
    </dialog>`;
  }

  #tell(isLeaving: boolean) {
    const answer = this.#answer;
    this.#answer = null;
    this._dialog?.close();
    answer?.(isLeaving);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-leave-question": KioskLeaveQuestion;
  }
}
