import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-scroll";
import "#kiosk-ui/screens/upkeep/connect/kiosk-format-form";
import { countText, type TemperatureUnit } from "#kiosk-ui/format";
import { channelsText } from "#kiosk-ui/screens/upkeep/connect/channels-text";
import { type LineReading, readingOf } from "#kiosk-ui/screens/upkeep/connect/connect-draft";
import { connectStyles } from "#kiosk-ui/screens/upkeep/connect/connect-styles";
import { connectWords } from "#kiosk-ui/screens/upkeep/connect/connect-words";
import type { Listening } from "#kiosk-ui/screens/upkeep/connect/listening";
import { isSerialPort } from "#kiosk-ui/screens/upkeep/connect/port-names";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { ListenAnswer, Proposal } from "#shared/listening";

const words = connectWords.format;

/**
 * The second question: what was heard on a port, and the ways to read it, best first.
 * @fires reading-chosen {CustomEvent<LineReading>} the way to read it
 * @fires listen-wanted {CustomEvent<{ asks: boolean }>} listen anew, or ask
 * @fires typing-wanted {CustomEvent<boolean>} type a format; or rather not
 * @fires stop-wanted {CustomEvent} leave off listening
 */
@customElement("kiosk-connect-format")
export class KioskConnectFormat extends LitElement {
  /** The port that is listened to. */
  @property() port = "";
  /** What has come of it. */
  @property({ attribute: false }) listening: Listening = { kind: "idle" };
  /** How long it has been listened to, s. */
  @property({ attribute: false }) elapsedSeconds = 0;
  /** The way that is chosen now. */
  @property({ attribute: false }) reading: LineReading | null = null;
  /** Whether a format is being typed instead. */
  @property({ type: Boolean }) isTyping = false;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    touchStyles,
    connectStyles,
    css`
      .wait {
        display: grid;
        grid-column: 1 / -1;
        grid-template-columns: minmax(3em, auto) minmax(0, 1fr) auto;
        align-self: start;
        align-items: center;
        gap: var(--space-5);
        padding: var(--space-5);
      }
      .elapsed {
        min-width: 1.5em;
        font-size: var(--text-readout);
        font-weight: var(--weight-heavy);
        letter-spacing: var(--readout-tightening);
        line-height: 0.86;
      }
      .elapsed small {
        display: inline;
        font-size: var(--text-sentence);
        letter-spacing: 0;
      }
      .wait li + li {
        margin-top: var(--space-2);
        color: var(--color-ink-soft);
      }
      .rows .big {
        font-size: var(--text-sentence);
        line-height: 1.2;
      }
      .said {
        font-size: var(--text-lead);
      }
      .lines {
        flex: 0 1 auto;
        min-height: 1.4em;
        overflow: hidden;
      }
      code {
        display: block;
        overflow: hidden;
        font: var(--text-caption) / 1.4 ui-monospace, monospace;
        text-overflow: ellipsis;
        white-space: nowrap;
      }
      .ways {
        flex: none;
      }
      @media (max-width: 700px) {
        .wait {
          grid-template-columns: minmax(0, 1fr);
        }
      }
    `,
  ];

  protected override render() {
    const { listening } = this;
    if (listening.kind === "listening") return this.#renderWait(listening.asks);
    const next = this.isTyping ? null : wayOn(listening);
    return html`
      ${this.isTyping ? this.#renderForm() : this.#renderFound()}
      <aside>
        ${listening.kind === "heard" ? this.#renderLines(listening.answer) : nothing}
        <div class="ways">
          <button class=${next === "again" ? "main" : ""} @click=${() => this.#listen(false)}>
            ${words.again}<small>${words.againHelp}</small>
          </button>
          <button class=${next === "ask" ? "main" : ""} @click=${() => this.#listen(true)}>
            ${words.ask}<small>${words.askHelp}</small>
          </button>
          <button @click=${() => this.dispatchEvent(new CustomEvent("typing-wanted", { detail: !this.isTyping }))}>
            ${this.isTyping ? words.back : words.other}
            <small>${this.isTyping ? words.backHelp : words.otherHelp}</small>
          </button>
        </div>
      </aside>
    `;
  }

  #renderWait(asks: boolean) {
    const about = isSerialPort(this.port) ? words.rates : words.network;
    return html`<div class="sheet wait">
      <p class="elapsed" role="timer">${Math.floor(this.elapsedSeconds)}<small> ${words.seconds}</small></p>
      <ul>
        ${[about, ...(asks ? words.meanwhileAsking : words.meanwhile)].map((line) => html`<li>${line}</li>`)}
      </ul>
      <button class="act" @click=${() => this.dispatchEvent(new CustomEvent("stop-wanted"))}>${words.stop}</button>
    </div>`;
  }

  #renderFound() {
    return html`<kiosk-scroll>
      <div class="rows">${this.#renderOutcome()}</div>
    </kiosk-scroll>`;
  }

  #renderOutcome() {
    const { listening } = this;
    if (listening.kind === "refused")
      return html`<p class="sheet said" role="alert">${listening.message}</p>`;
    if (listening.kind !== "heard") return this.reading ? this.#renderNow(this.reading) : nothing;
    const { proposals, message } = listening.answer;
    return html`
      ${proposals.map((proposal, index) => this.#renderProposal(proposal, index === 0 && proposals.length > 1))}
      ${message ? html`<p class="sheet said" role="status">${message}</p>` : nothing}
    `;
  }

  #renderProposal(proposal: Proposal, isBest: boolean) {
    const { fits, heard, isPolled } = proposal;
    const fitting = (isPolled ? words.answers : words.fits)(countText(fits), countText(heard));
    return this.#renderReading(
      readingOf(proposal),
      channelsText(proposal.preview, this.unit),
      fitting,
      isBest,
    );
  }

  #renderNow(reading: LineReading) {
    return this.#renderReading(reading, channelsText(reading.preview, this.unit) || reading.format);
  }

  #renderReading(reading: LineReading, title: string, fitting = "", isBest = false) {
    const { format, framing, baudRate } = reading;
    const rate = isSerialPort(this.port) && `${words.baud(String(baudRate))}, ${framing}`;
    const facts = [fitting, rate, title === format ? "" : format].filter(Boolean).join(" · ");
    return html`<button @click=${() => this.#choose(reading)}>
      <span><span class="big">${title}</span><small>${facts}</small></span>
      ${isBest ? html`<span class="note">${words.best}</span>` : nothing}
    </button>`;
  }

  #renderLines({ lines, proposals }: ListenAnswer) {
    if (lines.length === 0 && proposals.length > 0) return nothing;
    return html`<div class="lines">
      <p class="over">${words.asHeard}</p>
      ${lines.length === 0 ? html`<p class="caption">${words.noLines}</p>` : lines.map((line) => html`<code>${line}</code>`)}
    </div>`;
  }

  #renderForm() {
    return html`<kiosk-format-form
      .reading=${this.reading}
      .isSerial=${isSerialPort(this.port)}
      @reading-chosen=${(event: CustomEvent<LineReading>) => this.#choose(event.detail)}
    ></kiosk-format-form>`;
  }

  #choose(reading: LineReading) {
    this.dispatchEvent(new CustomEvent("reading-chosen", { detail: reading }));
  }

  #listen(asks: boolean) {
    this.dispatchEvent(new CustomEvent("listen-wanted", { detail: { asks } }));
  }
}

/** What is best done next; null when it is choosing what was found. */
function wayOn(listening: Listening): "again" | "ask" | null {
  if (listening.kind === "stopped" || listening.kind === "refused") return "again";
  return listening.kind === "heard" && listening.answer.proposals.length === 0 ? "ask" : null;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-connect-format": KioskConnectFormat;
  }
}
