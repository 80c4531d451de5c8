import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { ageText, type TemperatureUnit, temperatureText, unitSign } from "#kiosk-ui/format";
import { STALE_AFTER_SECONDS } from "#kiosk-ui/kiosk-state";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

/**
 * A temperature to be read across the room. Older than three seconds it says so, in words and greyed.
 * @cssprop --readout-size - font size of the figure
 */
@customElement("kiosk-readout")
export class KioskReadout extends LitElement {
  /** What is shown, °C; null when nothing was ever heard. */
  @property({ attribute: false }) celsius: number | null = null;
  /** The scale on which it is shown. */
  @property() unit: TemperatureUnit = "celsius";
  /** Age by the page's own clock, s; null when nothing was ever heard. */
  @property({ attribute: false }) ageSeconds: number | null = null;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        min-width: 0;
        --size: var(--readout-size, var(--text-readout));
      }
      .row {
        display: flex;
        align-items: baseline;
        gap: 0.05em;
        font-size: var(--size);
        line-height: 0.86;
        white-space: nowrap;
      }
      .figure {
        font-weight: var(--weight-heavy);
        margin-left: -0.045em;
        letter-spacing: var(--readout-tightening);
      }
      .long {
        font-size: 0.8em;
      }
      .unit {
        font-size: max(0.2em, var(--text-label));
        color: var(--color-ink-soft);
      }
      .stale .figure {
        color: var(--color-ink-soft);
        font-weight: var(--weight-text);
      }
      .age {
        display: inline-block;
        margin-top: var(--space-2);
        padding: 2px var(--space-2);
        border-radius: 4px;
        background: var(--color-person);
        color: var(--color-on-person);
        font-size: var(--text-label);
        font-weight: var(--weight-strong);
      }
    `,
  ];

  protected override render() {
    const figure = this.celsius === null ? words.reading.noReading : temperatureText(this.celsius, this.unit);
    const isStale = this.ageSeconds === null || this.ageSeconds > STALE_AFTER_SECONDS;
    return html`
      <div class="row ${isStale ? "stale" : ""}" role="group" aria-label=${words.reading.chamber}>
        <span class="figure ${figure.length > 3 ? "long" : ""}">${figure}</span>
        <span class="unit">${unitSign(this.unit)}</span>
      </div>
      ${isStale ? html`<span class="age">${this.#staleness()}</span>` : nothing}
    `;
  }

  #staleness() {
    return this.ageSeconds === null ? words.reading.none : words.reading.stale(ageText(this.ageSeconds));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-readout": KioskReadout;
  }
}
