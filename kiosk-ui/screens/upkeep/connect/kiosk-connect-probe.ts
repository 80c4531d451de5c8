import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { type Channels, celsiusWithType, isMillivolts } from "#kiosk-ui/screens/upkeep/connect/channels-text";
import { connectStyles } from "#kiosk-ui/screens/upkeep/connect/connect-styles";
import { connectWords } from "#kiosk-ui/screens/upkeep/connect/connect-words";
import { lineWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { type ThermocoupleType, thermocoupleTypeSchema } from "#shared/probe";

const words = connectWords.probe;

/**
 * The third question: the type of the thermocouple; for millivolts with what each type would make of them.
 * @fires type-chosen {CustomEvent<ThermocoupleType | null>} the type; null when nobody knows it
 */
@customElement("kiosk-connect-probe")
export class KioskConnectProbe extends LitElement {
  /** What the line said last. */
  @property({ attribute: false }) channels: Channels = {};
  /** The type that is chosen now; null for not known, undefined for none chosen yet. */
  @property({ attribute: false }) type: ThermocoupleType | null | undefined;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    touchStyles,
    connectStyles,
    css`
      :host {
        grid-template: minmax(0, 1fr) auto / minmax(0, 1fr);
        gap: var(--space-3);
      }
      .types {
        display: grid;
        grid-template-columns: repeat(5, minmax(0, 1fr));
        grid-auto-rows: minmax(var(--touch-target), 156px);
        gap: var(--space-2);
        min-height: 0;
      }
      button {
        display: flex;
        flex-direction: column;
        justify-content: space-between;
        min-height: 0;
        padding: var(--space-3) var(--space-4);
        border-color: transparent;
        color: var(--color-ink);
        text-align: left;
      }
      button[aria-pressed="true"] {
        color: var(--color-on-press);
      }
      button[aria-pressed="true"] * {
        color: inherit;
      }
      .top {
        display: flex;
        align-items: baseline;
        justify-content: space-between;
        gap: var(--space-2);
        width: 100%;
        font-size: var(--text-lead);
      }
      .letter {
        font-size: var(--text-figure);
        font-weight: var(--weight-heavy);
        line-height: 1;
      }
      .would {
        font-size: var(--text-sentence);
        white-space: nowrap;
      }
      .out {
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
        font-weight: var(--weight-text);
        text-align: right;
      }
      button:disabled {
        background: transparent;
        border-color: var(--color-line);
      }
      .notes {
        display: grid;
        gap: 2px;
      }
      @media (max-width: 700px) {
        .types {
          grid-template-columns: repeat(2, minmax(0, 1fr));
        }
      }
    `,
  ];

  protected override render() {
    return html`
      <div class="types">
        ${thermocoupleTypeSchema.options.map((type) => this.#renderType(type))} ${this.#renderUnknown()}
      </div>
      <div class="notes caption soft">
        <p>${words.usesSource}</p>
        <p>${lineWords.mains} ${words.hot}</p>
      </div>
    `;
  }

  #renderType(type: ThermocoupleType) {
    return html`<button aria-pressed=${type === this.type} @click=${() => this.#choose(type)}>
      <span class="top"><span class="letter">${type}</span> ${this.#renderPreview(type)}</span>
      <small>${words.uses[type]}</small>
    </button>`;
  }

  #renderPreview(type: ThermocoupleType) {
    if (!isMillivolts(this.channels) || this.channels.coldJunctionCelsius === undefined) return nothing;
    const celsius = celsiusWithType(type, this.channels);
    return celsius === null
      ? html`<span class="out">${words.outOfRange}</span>`
      : html`<span class="would">${temperatureWithUnit(celsius, this.unit)}</span>`;
  }

  #renderUnknown() {
    const isNeeded = isMillivolts(this.channels);
    return html`<button
      aria-pressed=${this.type === null}
      ?disabled=${isNeeded}
      @click=${() => this.#choose(null)}
    >
      <span class="top">${words.unknown}</span>
      <small>${isNeeded ? words.unknownNeeded : words.unknownUse}</small>
    </button>`;
  }

  #choose(type: ThermocoupleType | null) {
    this.dispatchEvent(new CustomEvent("type-chosen", { detail: type }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-connect-probe": KioskConnectProbe;
  }
}
