import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-keypad";
import "#kiosk-ui/screens/plans/kiosk-text-field";
import { openerStyles } from "#kiosk-ui/screens/past-bakes/past-bakes-styles";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import type { KioskTextField } from "#kiosk-ui/screens/plans/kiosk-text-field";
import { dialogStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { jobNumberSchema } from "#shared/bake";

/**
 * A job number, or a part of one, by keypad, letters, keyboard or scanner: a button that says it and opens a keypad.
 * @fires job-entered {CustomEvent<string>} the text, trimmed; empty for none
 */
@customElement("kiosk-job-field")
export class KioskJobField extends LitElement {
  /** What is entered here. */
  @property() label = "";
  /** The text as it stands. */
  @property() value = "";
  /** What the button says while there is none. */
  @property() none = "";
  /** What the button says that takes the text. */
  @property() confirm: string = words.save;
  /** Marks the button, for a filter that leaves something out. */
  @property({ type: Boolean }) isSet = false;

  @state() private _draft = "";
  @query("dialog") private _dialog: HTMLDialogElement | undefined;
  @query("kiosk-text-field") private _letters: KioskTextField | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    dialogStyles,
    openerStyles,
    css`
      :host {
        --dialog-width: 560px;
      }
      form {
        display: grid;
        gap: var(--space-3);
      }
      input {
        font-size: var(--text-title);
        font-weight: var(--weight-heavy);
      }
      .line {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        gap: var(--space-2);
      }
      .letters {
        min-width: var(--touch-target);
      }
      kiosk-text-field {
        display: contents;
      }
      @media (max-width: 700px) {
        .line {
          grid-template-columns: minmax(0, 1fr);
        }
        .letters {
          display: none;
        }
      }
      .ends {
        display: flex;
        gap: var(--touch-gap);
      }
      .ends button {
        flex: 1;
      }
    `,
  ];

  protected override render() {
    return html`
      <button class="opener ${this.isSet ? "set" : ""}" aria-haspopup="dialog" @click=${this.#open}>
        <small>${this.label}</small><span>${this.value || this.none}</span>
      </button>
      <dialog aria-label=${this.label}>
        <form @submit=${this.#onSubmit}>
          <h1>${this.label}</h1>
          <div class="line">
            <input
              aria-label=${this.label}
              autocomplete="off"
              maxlength="40"
              .value=${this._draft}
              @input=${this.#onInput}
            />
            <button type="button" class="letters" @click=${() => this._letters?.open()}>${words.letters}</button>
          </div>
          ${this.#isRefused() ? html`<p role="alert">${words.jobRefused}</p>` : nothing}
          <kiosk-keypad
            .value=${this._draft}
            @value-changed=${(event: CustomEvent<string>) => {
              this._draft = event.detail;
            }}
          ></kiosk-keypad>
          <div class="ends">
            <button type="button" class="act" @click=${this.#close}>${words.cancel}</button>
            <button class="act main" ?disabled=${this.#isRefused()}>${this.confirm}</button>
          </div>
        </form>
      </dialog>
      <kiosk-text-field
        isBehind
        isCode
        longest="40"
        .label=${this.label}
        .value=${this._draft}
        @value-changed=${(event: CustomEvent<string>) => {
          this._draft = event.detail;
        }}
      ></kiosk-text-field>
    `;
  }

  #isRefused(): boolean {
    return this._draft.trim() !== "" && !jobNumberSchema.safeParse(this._draft).success;
  }

  #onInput(event: InputEvent) {
    this._draft = event.target instanceof HTMLInputElement ? event.target.value : this._draft;
  }

  #open() {
    this._draft = this.value;
    if (!this._dialog?.open) this._dialog?.showModal();
  }

  #close() {
    this._dialog?.close();
  }

  #onSubmit(event: SubmitEvent) {
    event.preventDefault();
    if (this.#isRefused()) return;
    this.#close();
    this.dispatchEvent(new CustomEvent("job-entered", { detail: this._draft.trim() }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-job-field": KioskJobField;
  }
}
