import { css, html, LitElement } from "lit";
import { customElement, property, query } from "lit/decorators.js";
import { act } from "#kiosk-ui/components/kiosk-action";
import { dialogStyles } from "#kiosk-ui/tokens/layout";
import type { PageSettings, Theme, UnitChoice } from "#kiosk-ui/tokens/theme";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { type Place, words } from "#kiosk-ui/words";

const PLACES: readonly Place[] = ["now", "past-bakes", "plans", "upkeep"];
const THEMES: readonly Theme[] = ["light", "dark", "device"];
const UNITS: readonly UnitChoice[] = ["lab", "celsius", "fahrenheit"];

/** The way to the four places, and how this page shows things. Opened by `open()`. */
@customElement("kiosk-places")
export class KioskPlaces extends LitElement {
  /** Where the page is. */
  @property() place: Place = "now";
  /** What this page keeps for itself. */
  @property({ attribute: false }) settings: PageSettings = { theme: "light", unit: "lab" };

  @query("dialog") private _dialog: HTMLDialogElement | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    dialogStyles,
    css`
      :host {
        --dialog-width: 1000px;
      }
      .places {
        display: grid;
        grid-template-columns: repeat(2, 1fr);
        gap: var(--touch-gap);
      }
      .places button {
        padding: var(--space-2) var(--space-4);
        text-align: left;
        font-size: var(--text-sentence);
      }
      .places small {
        display: block;
        margin-top: 4px;
        font-size: var(--text-label);
        font-weight: var(--weight-text);
      }
      .settings {
        display: grid;
        grid-template-columns: repeat(2, 1fr);
        gap: var(--touch-gap);
        margin-top: var(--space-4);
      }
      .label {
        margin-bottom: var(--space-2);
        color: var(--color-ink-soft);
      }
      .choice {
        display: flex;
        gap: var(--space-2);
      }
      .choice button {
        flex: 1 1 0;
        padding: 0 var(--space-2);
      }
      @media (max-width: 700px) {
        .settings {
          grid-template-columns: 1fr;
        }
      }
    `,
  ];

  /** Opens it over the page. */
  open(): void {
    if (!this._dialog?.open) this._dialog?.showModal();
  }

  protected override render() {
    return html`<dialog aria-label=${words.places.title}>
      <header>
        <h1>${words.places.title}</h1>
        <button @click=${this.#close}>${words.places.close}</button>
      </header>
      <div class="places">
        ${PLACES.map(
          (place) => html`<button
            class="act"
            aria-pressed=${place === this.place}
            @click=${() => this.#go(place)}
          >
            ${words.places.names[place]}<small>${words.places.about[place]}</small>
          </button>`,
        )}
      </div>
      <div class="settings">
        ${this.#renderChoice(words.places.screen, THEMES, words.places.themes, this.settings.theme, (theme) =>
          act(this, { kind: "choose-theme", theme }),
        )}
        ${this.#renderChoice(
          words.places.temperatures,
          UNITS,
          words.places.units,
          this.settings.unit,
          (unit) => act(this, { kind: "choose-unit", unit }),
        )}
      </div>
    </dialog>`;
  }

  #renderChoice<Choice extends string>(
    label: string,
    choices: readonly Choice[],
    names: Readonly<Record<Choice, string>>,
    chosen: Choice,
    choose: (choice: Choice) => void,
  ) {
    return html`<div role="group" aria-label=${label}>
      <p class="label">${label}</p>
      <div class="choice">
        ${choices.map(
          (choice) =>
            html`<button aria-pressed=${choice === chosen} @click=${() => choose(choice)}>${names[choice]}</button>`,
        )}
      </div>
    </div>`;
  }

  #go(place: Place) {
    this.#close();
    act(this, { kind: "go", place });
  }

  #close() {
    this._dialog?.close();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-places": KioskPlaces;
  }
}
