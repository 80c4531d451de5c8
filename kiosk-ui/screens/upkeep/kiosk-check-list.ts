import { css, html, LitElement } from "lit";
import { customElement, property } from "lit/decorators.js";
import { differenceWithUnit, type TemperatureUnit } from "#kiosk-ui/format";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { offText } from "#kiosk-ui/screens/upkeep/drift-summary";
import { checkDayText, checkName, daysAgoText } from "#kiosk-ui/screens/upkeep/probe-text";
import { upkeepStyles } from "#kiosk-ui/screens/upkeep/upkeep-styles";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Check } from "#shared/check";

const words = checkWords.list;

/**
 * The checks of a furnace, newest first: when, what, how far off, verdict, and whether it became the correction.
 * @fires check-opened {CustomEvent<Check>} a check was touched
 */
@customElement("kiosk-check-list")
export class KioskCheckList extends LitElement {
  /** The checks, newest first. */
  @property({ attribute: false }) checks: readonly Check[] = [];
  /** The check that corrects the probe now; null for none. */
  @property({ attribute: false }) correctingId: number | null = null;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** The wall clock, ms. */
  @property({ type: Number }) nowEpochMilliseconds = Date.now();

  static override styles = [
    baseStyles,
    touchStyles,
    upkeepStyles,
    css`
      :host {
        display: block;
      }
      li + li {
        border-top: 1px solid var(--color-line);
      }
      button {
        display: grid;
        grid-template-columns: minmax(0, 1.15fr) minmax(0, 1fr) minmax(0, 1.1fr);
        gap: 2px var(--space-3);
        align-items: center;
        width: 100%;
        padding: var(--space-1) 0;
        border: 0;
        border-radius: 0;
        background: transparent;
        color: var(--color-ink);
        font-weight: var(--weight-text);
        text-align: left;
      }
      strong {
        display: block;
        font-weight: var(--weight-strong);
      }
      small {
        font-size: var(--text-caption);
        color: var(--color-ink-soft);
      }
      .outside {
        padding-left: var(--space-2);
        border-left: 6px solid var(--color-person);
      }
    `,
  ];

  protected override render() {
    return html`<ul aria-label=${words.caption}>
      ${this.checks.map((check) => html`<li>${this.#renderCheck(check)}</li>`)}
    </ul>`;
  }

  #renderCheck(check: Check) {
    const { result, checkedAtEpochMilliseconds: at } = check;
    const now = this.nowEpochMilliseconds;
    return html`<button @click=${() => this.#open(check)}>
      <span
        ><strong>${checkDayText(at, now)}, ${daysAgoText(at, now)}</strong><small>${checkName(check)}</small></span
      >
      <span
        ><strong
          >${offText(result.worstDifferenceKelvin, this.unit)}</strong
        ><small>±&nbsp;${differenceWithUnit(result.expandedUncertaintyKelvin, this.unit, 1)}</small></span
      >
      <span class=${result.verdict === "outside" ? "outside" : ""}
        ><strong>${words.verdicts[result.verdict]} ±&nbsp;${differenceWithUnit(result.limitKelvin, this.unit, 1)}</strong
        ><small>${this.#acceptance(check)}</small></span
      >
    </button>`;
  }

  #acceptance({ id, accepted }: Check): string {
    if (!accepted) return words.notAccepted;
    const day = checkDayText(accepted.atEpochMilliseconds, this.nowEpochMilliseconds);
    const said = id === this.correctingId ? words.inForce(day) : words.accepted(day);
    return `${said}${accepted.by ? words.by(accepted.by) : ""}`;
  }

  #open(check: Check) {
    this.dispatchEvent(new CustomEvent("check-opened", { detail: check }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-check-list": KioskCheckList;
  }
  interface HTMLElementEventMap {
    "check-opened": CustomEvent<Check>;
  }
}
