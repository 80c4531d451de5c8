import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query } from "lit/decorators.js";
import type { LineReading } from "#kiosk-ui/screens/upkeep/connect/connect-draft";
import { connectStyles } from "#kiosk-ui/screens/upkeep/connect/connect-styles";
import { connectWords } from "#kiosk-ui/screens/upkeep/connect/connect-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { type SerialFraming, serialFramingSchema } from "#shared/furnace";

const words = connectWords.format;
const BAUD_RATES = [1200, 2400, 4800, 9600, 19_200, 38_400, 57_600, 115_200] as const;

/**
 * A format that somebody types, with its baud rate and framing.
 * @fires reading-chosen {CustomEvent<LineReading>} what was typed
 */
@customElement("kiosk-format-form")
export class KioskFormatForm extends LitElement {
  /** What stands in it at first. */
  @property({ attribute: false }) reading: LineReading | null = null;
  /** Whether the port has a baud rate. */
  @property({ type: Boolean }) isSerial = false;

  @query("#format") private _format: HTMLInputElement | undefined;
  @query("#baud") private _baud: HTMLSelectElement | undefined;
  @query("#framing") private _framing: HTMLSelectElement | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    connectStyles,
    css`
      :host {
        display: block;
      }
      form {
        display: grid;
        grid-template-columns: 1fr 1fr 1fr;
        align-items: end;
        gap: var(--space-3);
      }
      .wide {
        grid-column: 1 / -1;
      }
      @media (max-width: 700px) {
        form {
          grid-template-columns: minmax(0, 1fr);
        }
      }
      code {
        font: var(--text-caption) ui-monospace, monospace;
      }
    `,
  ];

  protected override render() {
    const { format = "auto", baudRate = 9600, framing = "8N1" } = this.reading ?? {};
    const rates = [...new Set([...BAUD_RATES, baudRate])].sort((a, b) => a - b);
    return html`<form @submit=${this.#take} novalidate>
      <div class="wide">
        <label for="format">${words.otherLabel}</label>
        <input
          id="format"
          autocomplete="off"
          autocapitalize="off"
          spellcheck="false"
          maxlength="500"
          .value=${format}
        />
        <small>${words.otherExamples.map((example) => html`<code>${example}</code> &ensp; `)}</small>
      </div>
      ${
        this.isSerial
          ? html`<div>
              <label for="baud">${words.baudRate}</label>
              <select id="baud">
                ${rates.map((rate) => html`<option ?selected=${rate === baudRate}>${rate}</option>`)}
              </select>
            </div>
            <div>
              <label for="framing">${words.framing}</label>
              <select id="framing">
                ${serialFramingSchema.options.map((name) => html`<option ?selected=${name === framing}>${name}</option>`)}
              </select>
            </div>`
          : nothing
      }
      <button type="submit" class="main">${words.use}</button>
    </form>`;
  }

  readonly #take = (event: Event) => {
    event.preventDefault();
    const reading: LineReading = {
      format: this._format?.value.trim() || "auto",
      baudRate: Number(this._baud?.value ?? this.reading?.baudRate ?? 9600),
      framing: (this._framing?.value as SerialFraming | undefined) ?? this.reading?.framing ?? "8N1",
      preview: {},
    };
    this.dispatchEvent(new CustomEvent("reading-chosen", { detail: reading }));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-format-form": KioskFormatForm;
  }
}
