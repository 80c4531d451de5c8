import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { faultSentence, firstLook } from "#core/thermocouple/fault-words";
import "#kiosk-ui/components/kiosk-readout";
import { countText, type TemperatureUnit } from "#kiosk-ui/format";
import type { HeardFurnace } from "#kiosk-ui/kiosk-state";
import { connectStyles } from "#kiosk-ui/screens/upkeep/connect/connect-styles";
import { connectWords } from "#kiosk-ui/screens/upkeep/connect/connect-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words as kioskWords } from "#kiosk-ui/words";

const words = connectWords.heard;

/**
 * What comes of connecting: the reading as it arrives, or what the line says while none does.
 * @fires back-wanted {CustomEvent} another way to read it is to be chosen
 * @fires done {CustomEvent} it has been seen
 */
@customElement("kiosk-connect-heard")
export class KioskConnectHeard extends LitElement {
  /** The furnace as the page knows it; null until it has been told of it. */
  @property({ attribute: false }) heard: HeardFurnace | null = null;
  /** What it was called when it was connected. */
  @property() name = "";
  /** Age of the newest reading since then, s; null while none has come. */
  @property({ attribute: false }) ageSeconds: number | null = null;
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
      .sheet {
        display: grid;
        grid-template-columns: auto minmax(0, 1fr);
        align-items: center;
        align-self: start;
        gap: var(--space-5);
        padding: var(--space-5);
      }
      h2 {
        font-size: var(--text-sentence);
      }
      .fault {
        padding-left: var(--space-3);
        border-left: 12px solid var(--color-person);
      }
      p + p {
        margin-top: var(--space-2);
      }
      .end {
        display: flex;
        justify-content: flex-end;
        gap: var(--touch-gap);
      }
      .end button {
        min-width: calc(40 * var(--mm));
        font-size: var(--text-lead);
      }
      @media (max-width: 700px) {
        .sheet {
          grid-template-columns: minmax(0, 1fr);
        }
        .end {
          flex-direction: column;
        }
      }
    `,
  ];

  protected override render() {
    const isHeard = this.ageSeconds !== null;
    return html`
      <div class="sheet" role="status">
        ${
          isHeard
            ? html`<kiosk-readout
              .celsius=${this.heard?.latest?.sample.celsius ?? null}
              .unit=${this.unit}
              .ageSeconds=${this.ageSeconds}
            ></kiosk-readout>`
            : nothing
        }
        <div>
          <h2>${this.#sentence(isHeard)}</h2>
          ${this.#renderLine()} ${this.#renderFaults()}
          <p class="soft">${isHeard ? words.record : words.nothingYet}</p>
        </div>
      </div>
      <div class="end">
        ${
          isHeard
            ? nothing
            : html`<button class="act" @click=${() => this.dispatchEvent(new CustomEvent("back-wanted"))}>
              ${words.otherFormat}
            </button>`
        }
        <button class="act main" @click=${() => this.dispatchEvent(new CustomEvent("done"))}>${words.done}</button>
      </div>
    `;
  }

  #sentence(isHeard: boolean) {
    if (isHeard) return words.heard(this.name);
    return this.heard?.furnace.port === null ? words.noLine(this.name) : words.waiting(this.name);
  }

  /** A probe that is broken, or wired the wrong way, is seen at once. */
  #renderFaults() {
    const faults = this.heard?.sensorFaults.filter(({ isActive, needsPerson }) => isActive && needsPerson);
    return faults?.map(
      (fault) => html`<p class="fault">
        <strong>${faultSentence(fault, this.unit)}</strong> ${firstLook(fault.kind)}
      </p>`,
    );
  }

  #renderLine() {
    const link = this.heard?.link;
    if (!link) return nothing;
    const isListening = link.kind === "listening";
    return html`<p>
      ${isListening ? nothing : html`${kioskWords.link.kinds[link.kind]}.`}
      ${words.lines(countText(link.acceptedLines), countText(link.refusedLines))}
      ${link.message ? html`<strong>${link.message}</strong>` : nothing}
    </p>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-connect-heard": KioskConnectHeard;
  }
}
