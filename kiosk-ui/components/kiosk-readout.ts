import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { type ReadingTrust, trustText } from "#kiosk-ui/components/reading-trust";
import { ageText, type TemperatureUnit, temperatureText, unitSign } from "#kiosk-ui/format";
import { STALE_AFTER_SECONDS } from "#kiosk-ui/kiosk-state";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

/**
 * A temperature to be read across the room. Older than three seconds it says so, in words and greyed; one that is
 * not to be believed is struck through, with the reason, and where the thermocouple gives none there is no number.
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
  /** Whether it is the chamber's. */
  @property({ attribute: false }) trust: ReadingTrust = { kind: "believed" };

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
      .doubted .figure {
        color: var(--color-ink-soft);
        font-weight: var(--weight-text);
        text-decoration: line-through;
        text-decoration-thickness: 0.045em;
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
        line-height: 1.2;
        text-wrap: balance;
      }
    `,
  ];

  protected override render() {
    const { trust } = this;
    const isMissing = trust.kind === "missing" || this.celsius === null;
    const figure = isMissing ? words.reading.noReading : temperatureText(this.celsius ?? 0, this.unit);
    const isStale = this.ageSeconds === null || this.ageSeconds > STALE_AFTER_SECONDS;
    const tag = trustText(trust) || (isStale ? this.#staleness() : "");
    return html`
      <div
        class="row ${isStale || isMissing ? "stale" : ""} ${trust.kind}"
        role="group"
        aria-label=${words.reading.chamber}
      >
        <span class="figure ${figure.length > 3 ? "long" : ""}">${figure}</span>
        <span class="unit">${unitSign(this.unit)}</span>
      </div>
      ${tag ? html`<span class="age">${tag}</span>` : nothing}
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
