import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import "#kiosk-ui/screens/upkeep/connect/kiosk-connect-format";
import "#kiosk-ui/screens/upkeep/connect/kiosk-connect-heard";
import "#kiosk-ui/screens/upkeep/connect/kiosk-connect-name";
import "#kiosk-ui/screens/upkeep/connect/kiosk-connect-port";
import "#kiosk-ui/screens/upkeep/connect/kiosk-connect-probe";
import type { TemperatureUnit } from "#kiosk-ui/format";
import type { KioskRequests, ListedPort } from "#kiosk-ui/kiosk-client";
import { initialKioskState, type KioskState, readingAgeSeconds } from "#kiosk-ui/kiosk-state";
import {
  channelsText,
  isMillivolts,
  latestChannels,
  signalText,
} from "#kiosk-ui/screens/upkeep/connect/channels-text";
import {
  CONNECT_STEPS,
  type ConnectDraft,
  type ConnectStep,
  draftOf,
  isAnswered,
  isOpen,
  type LineReading,
  newDraft,
  requestOf,
  stepAfter,
  withPort,
  withReading,
  withType,
} from "#kiosk-ui/screens/upkeep/connect/connect-draft";
import { connectWords as words } from "#kiosk-ui/screens/upkeep/connect/connect-words";
import { type Listening, listeningHeading } from "#kiosk-ui/screens/upkeep/connect/listening";
import { portName } from "#kiosk-ui/screens/upkeep/connect/port-names";
import { upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Furnace } from "#shared/furnace";
import type { ThermocoupleType, ToleranceClass } from "#shared/probe";

/** What the flow asks of the daemon; every refusal is an `Error` with one line to show. */
export type ConnectDesk = Pick<KioskRequests, "ports" | "listen" | "changeFurnace">;

const TICK_MILLISECONDS = 250;
const nowSeconds = () => performance.now() / 1000;

/**
 * *Connect a furnace*: port, format, thermocouple, name, in four taps; the same to change the line of one that
 * is there already. Fills the screen. Opened by `open()`.
 * @fires closed {CustomEvent} it is over, done or cancelled
 */
@customElement("kiosk-connect")
export class KioskConnect extends LitElement {
  /** The daemon. */
  @property({ attribute: false }) client: ConnectDesk | null = null;
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _draft: ConnectDraft | null = null;
  @state() private _step: ConnectStep = "port";
  @state() private _ports: readonly ListedPort[] | null = null;
  @state() private _portsRefusal = "";
  @state() private _listening: Listening = { kind: "idle" };
  /** Whether somebody types a format instead. */
  @state() private _isTyping = false;
  @state() private _isBusy = false;
  @state() private _refusal = "";
  /** When it was connected, by the page's clock; null before. */
  @state() private _connectedAtSeconds: number | null = null;
  @query("dialog") private _dialog: HTMLDialogElement | undefined;
  @query("h2") private _question: HTMLElement | undefined;

  #listener: AbortController | null = null;
  #tick: ReturnType<typeof setInterval> | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      dialog {
        width: 100vw;
        max-width: none;
        height: 100vh;
        height: 100dvh;
        max-height: none;
        margin: 0;
        padding: var(--space-3) var(--space-4);
        border: 0;
        background: var(--color-ground);
        color: var(--color-ink);
      }
      dialog[open] {
        display: flex;
        flex-direction: column;
        gap: var(--space-3);
      }
      dialog > :last-child {
        flex: 1 1 auto;
      }
      header {
        display: grid;
        grid-template-columns: minmax(130px, auto) minmax(0, 1fr) auto;
        gap: var(--space-5);
      }
      h1 {
        max-width: 6.5em;
        text-wrap: balance;
      }
      ol {
        display: grid;
        grid-template-columns: repeat(4, minmax(0, 1fr));
        gap: var(--space-2);
      }
      li,
      li button {
        width: 100%;
        height: var(--touch-target);
      }
      li > span,
      li button {
        display: grid;
        align-content: start;
        position: relative;
        padding: 13px 0 0;
        border: 0;
        border-radius: 4px;
        background: transparent;
        text-align: left;
      }
      li > span::before,
      li button::before {
        content: "";
        position: absolute;
        inset: 0 0 auto;
        height: 7px;
        border-radius: 3.5px;
        background: var(--color-line);
      }
      .answered::before {
        background: var(--color-ink) !important;
      }
      li > span {
        color: var(--color-ink-soft);
      }
      li.now > *,
      li.now .answer {
        color: var(--color-ink);
      }
      .step,
      .answer {
        overflow: hidden;
        font-size: var(--text-label);
        line-height: 1.25;
        overflow-wrap: anywhere;
      }
      .answer {
        display: -webkit-box;
        -webkit-box-orient: vertical;
        -webkit-line-clamp: 2;
      }
      li.now .step {
        font-weight: var(--weight-heavy);
      }
      .step {
        color: var(--color-ink-soft);
        font-weight: var(--weight-text);
      }
      li.now .step {
        color: var(--color-ink);
      }
      .question {
        display: grid;
        gap: 2px;
      }
      h2 {
        font-size: var(--text-sentence);
      }
      h2:focus {
        outline: none;
      }
      @media (forced-colors: active) {
        .answered::before {
          forced-color-adjust: none;
        }
      }
      @media (max-width: 700px) {
        dialog {
          overflow: auto;
        }
        header {
          grid-template-columns: minmax(0, 1fr) auto;
        }
        ol {
          grid-row: 2;
          grid-column: 1 / -1;
          grid-template-columns: repeat(2, minmax(0, 1fr));
        }
        dialog > :last-child {
          flex: none;
        }
      }
    `,
  ];

  /** Opens it over the page: for a furnace that is not there yet, or to change the line of one that is. */
  async open(furnace: Furnace | null): Promise<void> {
    const { furnaces } = this.state;
    const heard = furnaces.find((other) => other.furnace.id === furnace?.id);
    this._draft = furnace
      ? draftOf(furnace, heard ? latestChannels(heard) : {})
      : newDraft(furnaces.map((other) => other.furnace));
    this._step = "port";
    this._listening = { kind: "idle" };
    this._refusal = "";
    this._isBusy = false;
    this._connectedAtSeconds = null;
    await this.updateComplete;
    if (!this._dialog?.open) this._dialog?.showModal();
    await this.#findPorts();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#leaveOff();
  }

  protected override render() {
    const draft = this._draft;
    return html`<dialog aria-label=${words.title} @close=${this.#onClose}>
      ${draft ? this.#renderFlow(draft) : nothing}
    </dialog>`;
  }

  #renderFlow(draft: ConnectDraft) {
    const isConnected = this._connectedAtSeconds !== null;
    const { title, help } = this.#heading(draft);
    return html`
      <header>
        <h1>${draft.isNew ? words.title : words.titleFor(this.#known(draft)?.furnace.name ?? draft.name)}</h1>
        <ol>
          ${CONNECT_STEPS.map((step) => this.#renderStep(draft, step, isConnected))}
        </ol>
        ${isConnected ? nothing : html`<button @click=${this.#close}>${words.cancel}</button>`}
      </header>
      ${
        isConnected
          ? nothing
          : html`<div class="question">
            <h2 tabindex="-1">${title}</h2>
            ${help ? html`<p class="label soft">${help}</p>` : nothing}
          </div>`
      }
      ${isConnected ? this.#renderHeard(draft) : this.#renderQuestion(draft)}
    `;
  }

  /** A question with its answer over which it is left: touched, it is asked again. */
  #renderStep(draft: ConnectDraft, step: ConnectStep, isConnected: boolean) {
    const isNow = step === this._step && !isConnected;
    const isDone = isConnected || isAnswered(draft, step);
    const answer = isDone ? this.#answer(draft, step) : "";
    const content = html`<span class="step">${words.steps[step]}</span> <span class="answer">${answer}</span>`;
    const mark = isDone ? "answered" : "";
    return html`<li class=${isNow ? "now" : ""} aria-current=${isNow ? "step" : nothing}>
      ${
        isNow || isConnected || !isOpen(draft, step)
          ? html`<span class=${mark}>${content}</span>`
          : html`<button
            class=${mark}
            aria-label=${words.goBack(words.steps[step], answer)}
            @click=${() => this.#goTo(step)}
          >
            ${content}
          </button>`
      }
    </li>`;
  }

  #answer({ port, reading, type, toleranceClass, name }: ConnectDraft, step: ConnectStep): string {
    switch (step) {
      case "port":
        return port === null ? words.port.noLine : portName(port);
      case "format":
        return signalText(reading.preview, this.unit) || reading.format;
      case "probe": {
        const classWord = toleranceClass ? `, ${upkeepWords.probe.classes[toleranceClass]}` : "";
        return type === null ? words.probe.none : `${type}${classWord}`;
      }
      case "name":
        return name;
    }
  }

  #heading(draft: ConnectDraft): { title: string; help: string } {
    const { preview } = draft.reading;
    switch (this._step) {
      case "port":
        return { title: words.port.question, help: words.port.hint };
      case "format":
        return this._isTyping
          ? { title: words.format.otherTitle, help: words.format.otherHelp }
          : listeningHeading(this._listening, draft.port ?? "");
      case "probe": {
        const hasCold = preview.coldJunctionCelsius !== undefined;
        const ofMillivolts = hasCold
          ? words.probe.compare(channelsText(preview, this.unit))
          : words.probe.noColdJunction;
        return {
          title: words.probe.question,
          help: isMillivolts(preview) ? ofMillivolts : words.probe.ownSetting,
        };
      }
      case "name":
        return { title: draft.isNew ? words.name.question : words.name.questionAgain, help: "" };
    }
  }

  #renderQuestion(draft: ConnectDraft) {
    switch (this._step) {
      case "port":
        return this.#renderPortStep(draft);
      case "format":
        return this.#renderFormatStep(draft);
      case "probe":
        return html`<kiosk-connect-probe
          .channels=${draft.reading.preview}
          .type=${isAnswered(draft, "probe") ? draft.type : undefined}
          .unit=${this.unit}
          @type-chosen=${(event: CustomEvent<ThermocoupleType | null>) => this.#take(withType(draft, event.detail))}
        ></kiosk-connect-probe>`;
      case "name":
        return this.#renderNameStep(draft);
    }
  }

  #renderPortStep(draft: ConnectDraft) {
    const others = this.state.furnaces
      .map(({ furnace }) => furnace)
      .filter(({ id }) => id !== draft.furnaceId);
    return html`<kiosk-connect-port
      .ports=${this._ports}
      .refusal=${this._portsRefusal}
      .others=${others}
      .current=${draft.port}
      .mayBeNone=${!draft.isNew}
      @ports-wanted=${this.#findPorts}
      @port-chosen=${(event: CustomEvent<string | null>) => this.#choosePort(draft, event.detail)}
    ></kiosk-connect-port>`;
  }

  #renderFormatStep(draft: ConnectDraft) {
    const listening = this._listening;
    return html`<kiosk-connect-format
      .port=${draft.port ?? ""}
      .listening=${listening}
      .elapsedSeconds=${listening.kind === "listening" ? nowSeconds() - listening.sinceSeconds : 0}
      .reading=${isAnswered(draft, "format") ? draft.reading : null}
      .isTyping=${this._isTyping}
      .unit=${this.unit}
      @typing-wanted=${(event: CustomEvent<boolean>) => {
        this._isTyping = event.detail;
      }}
      @listen-wanted=${(event: CustomEvent<{ asks: boolean }>) => this.#listen(event.detail.asks)}
      @stop-wanted=${this.#stop}
      @reading-chosen=${(event: CustomEvent<LineReading>) => this.#take(withReading(draft, event.detail))}
    ></kiosk-connect-format>`;
  }

  #renderNameStep(draft: ConnectDraft) {
    return html`<kiosk-connect-name
      .draft=${draft}
      .isBusy=${this._isBusy}
      .refusal=${this._refusal}
      @name-changed=${(event: CustomEvent<string>) => this.#change({ ...draft, name: event.detail })}
      @class-chosen=${(event: CustomEvent<ToleranceClass | null>) =>
        this.#change({ ...draft, toleranceClass: event.detail })}
      @connect-wanted=${() => this.#connect(draft)}
    ></kiosk-connect-name>`;
  }

  #renderHeard(draft: ConnectDraft) {
    const heard = this.#known(draft) ?? null;
    const heardAt = heard?.heardAtSeconds ?? Number.NEGATIVE_INFINITY;
    const isSince = heardAt >= (this._connectedAtSeconds ?? 0);
    return html`<kiosk-connect-heard
      .heard=${heard}
      .name=${draft.name.trim()}
      .ageSeconds=${heard && isSince ? readingAgeSeconds(this.state, heard) : null}
      .unit=${this.unit}
      @back-wanted=${this.#goBack}
      @done=${this.#close}
    ></kiosk-connect-heard>`;
  }

  #known({ furnaceId }: ConnectDraft) {
    return this.state.furnaces.find(({ furnace }) => furnace.id === furnaceId);
  }

  readonly #findPorts = async () => {
    this._ports = null;
    this._portsRefusal = "";
    try {
      this._ports = (await this.client?.ports()) ?? [];
    } catch (error) {
      this._portsRefusal = oneLine(error);
    }
  };

  #choosePort(draft: ConnectDraft, port: string | null) {
    this.#take(withPort(draft, port));
    if (port === null) return;
    this.#goTo("format");
    void this.#listen(false);
  }

  async #listen(asks: boolean) {
    const port = this._draft?.port;
    if (!port || !this.client) return;
    this.#leaveOff();
    this._isTyping = false;
    const listener = new AbortController();
    this.#listener = listener;
    this._listening = { kind: "listening", asks, sinceSeconds: nowSeconds() };
    this.#tick = setInterval(() => this.requestUpdate(), TICK_MILLISECONDS);
    const outcome = await this.client.listen({ port, asks }, listener.signal).then(
      (answer): Listening => ({ kind: "heard", answer }),
      (error: unknown): Listening => ({ kind: "refused", message: oneLine(error) }),
    );
    if (this.#listener !== listener) return;
    this.#leaveOff();
    this._listening = outcome;
    this.#askForTouch();
  }

  readonly #stop = () => {
    this.#leaveOff();
    this._listening = { kind: "stopped" };
  };

  /** What is still listened to is given up. */
  #leaveOff() {
    clearInterval(this.#tick);
    this.#listener?.abort();
    this.#listener = null;
  }

  /** Takes an answer and asks the next question. */
  #take(draft: ConnectDraft) {
    this._draft = draft;
    this.#goTo(stepAfter(draft));
  }

  #change(draft: ConnectDraft) {
    this._draft = draft;
    this._refusal = "";
  }

  #goTo(step: ConnectStep) {
    if (this._listening.kind === "listening") this.#stop();
    this._isTyping = false;
    this._refusal = "";
    this._step = step;
    this.#askForTouch();
  }

  readonly #goBack = () => {
    this._connectedAtSeconds = null;
    this.#goTo("format");
  };

  async #connect(draft: ConnectDraft) {
    this._refusal = draft.name.trim() === "" ? words.name.empty : "";
    if (this._refusal || this._isBusy || !this.client) return;
    this._isBusy = true;
    try {
      await this.client.changeFurnace(draft.furnaceId, requestOf(draft));
      this._connectedAtSeconds = this.state.nowSeconds;
    } catch (error) {
      this._refusal = oneLine(error);
    } finally {
      this._isBusy = false;
    }
  }

  /** Keys and readers begin at the question. */
  async #askForTouch() {
    await this.updateComplete;
    this._question?.focus();
  }

  readonly #close = () => {
    this._dialog?.close();
  };

  readonly #onClose = () => {
    this.#leaveOff();
    this._draft = null;
    this.dispatchEvent(new CustomEvent("closed"));
  };
}

function oneLine(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-connect": KioskConnect;
  }
}
