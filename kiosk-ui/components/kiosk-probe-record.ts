import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { faultSentence, firstLook } from "#core/thermocouple/fault-words";
import { bakeProbeText } from "#kiosk-ui/components/bake-probe-text";
import { thermocoupleWords as words } from "#kiosk-ui/components/thermocouple-words";
import { keptTogether, type TemperatureUnit } from "#kiosk-ui/format";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import type { Probe } from "#shared/probe";
import type { SensorFault } from "#shared/sensor-fault";

/** The thermocouple that a bake ran with: what it was, and what was wrong with it, with what to look at first. */
@customElement("kiosk-probe-record")
export class KioskProbeRecord extends LitElement {
  /** As it was when the bake began; null where that was not kept. */
  @property({ attribute: false }) probe: Probe | null = null;
  /** Counted while it was recorded. */
  @property({ attribute: false }) faults: readonly SensorFault[] = [];
  /** When the bake began, by the wall clock: the age of the correction is told as of then. */
  @property({ attribute: false }) startedAtEpochMilliseconds = 0;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** True where there is little room: only what needs a person is said whole. */
  @property({ type: Boolean }) isBrief = false;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        min-width: 0;
      }
      ul {
        display: grid;
        gap: var(--space-2);
        margin-top: var(--space-2);
      }
      li {
        padding-left: var(--space-3);
        border-left: 5px solid var(--color-line);
        font-size: var(--text-body);
        line-height: 1.3;
      }
      .needs {
        border-left-color: var(--color-person);
      }
      .needs strong {
        font-weight: var(--weight-strong);
      }
      strong {
        font-weight: var(--weight-text);
      }
      small {
        display: block;
        font-size: var(--text-label);
      }
      .brief ul {
        gap: var(--space-1);
        margin-top: var(--space-1);
      }
      .brief li {
        font-size: var(--text-label);
        line-height: 1.25;
      }
      .brief small {
        font-size: var(--text-caption);
      }
    `,
  ];

  protected override render() {
    const probe = bakeProbeText(this.probe, this.startedAtEpochMilliseconds, this.unit);
    if (this.isBrief)
      return html`<div class="brief">
        <p class="caption soft">${words.briefly(probe)}</p>
        ${this.#renderFaults()}
      </div>`;
    return html`<p class="label">${capitalised(probe)}.</p>
      ${this.faults.length === 0 ? html`<p class="label soft">${words.noFaults}</p>` : this.#renderFaults()}`;
  }

  #renderFaults() {
    if (this.faults.length === 0) return nothing;
    const pressingFirst = [...this.faults].sort((a, b) => Number(b.needsPerson) - Number(a.needsPerson));
    return html`<ul aria-label=${words.title}>
      ${pressingFirst.map((fault) => this.#renderFault(fault))}
    </ul>`;
  }

  #renderFault(fault: SensorFault) {
    const saysLook = fault.needsPerson || !this.isBrief;
    return html`<li class=${fault.needsPerson ? "needs" : ""}>
      <strong>${keptTogether(faultSentence(fault, this.unit))}</strong>
      ${saysLook ? html`<small class="soft">${firstLook(fault.kind)}</small>` : nothing}
    </li>`;
  }
}

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-probe-record": KioskProbeRecord;
  }
}
