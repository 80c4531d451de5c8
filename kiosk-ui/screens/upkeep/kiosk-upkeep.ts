import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import { faultSentence, firstLook } from "#core/thermocouple/fault-words";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import { type TemperatureUnit, timeOfDayText } from "#kiosk-ui/format";
import { type HeardFurnace, initialKioskState, type KioskState } from "#kiosk-ui/kiosk-state";
import type { ConnectDesk, KioskConnect } from "#kiosk-ui/screens/upkeep/connect/kiosk-connect";
import type { CheckDesk } from "#kiosk-ui/screens/upkeep/kiosk-furnace-page";
import { dueStatement, minuteNow, probeBasisText, probeKindText } from "#kiosk-ui/screens/upkeep/probe-text";
import { lineWords, upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { Check } from "#shared/check";
import type { Furnace } from "#shared/furnace";

/** What matters first about a furnace. */
interface Statement {
  readonly text: string;
  readonly detail: string;
  readonly needsPerson: boolean;
}

/**
 * The place Upkeep: every furnace in plain statements, what matters first; from there its own page, and the way
 * to connect one or to change its line.
 * @slot - the way back to what runs, in the bottom row
 */
@customElement("kiosk-upkeep")
export class KioskUpkeep extends LitElement {
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon, for connecting a furnace and for its checks. */
  @property({ attribute: false }) client: (ConnectDesk & CheckDesk) | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _openId: string | null = null;
  /** True once the furnace's page has been fetched; a line to show when it could not be. */
  @state() private _page: "unasked" | "loading" | "ready" | "failed" = "unasked";
  @state() private _checks: ReadonlyMap<string, readonly Check[]> = new Map();
  @query("kiosk-connect") private _connect: KioskConnect | undefined;
  #askedFor = "";

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    css`
      :host([data-page]) {
        display: block;
      }
      kiosk-furnace-page {
        height: 100%;
      }
      kiosk-connect {
        display: contents;
      }
      .cautions {
        align-self: center;
      }
      ul {
        display: grid;
        gap: var(--space-3);
        align-content: start;
      }
      li {
        display: grid;
        grid-template-columns: minmax(0, 1fr) 190px auto auto;
        align-items: center;
        gap: var(--space-2) var(--touch-gap);
        padding: var(--space-3) var(--space-4);
        border-left: 12px solid transparent;
      }
      .needs {
        border-left-color: var(--color-person);
      }
      .history {
        height: 76px;
      }
      .name {
        display: flex;
        flex-wrap: wrap;
        align-items: baseline;
        gap: 0 var(--space-3);
      }
      .text {
        font-size: var(--text-lead);
        line-height: 1.25;
      }
      .needs .text {
        font-weight: var(--weight-strong);
      }
      .facts {
        margin-top: 3px;
        color: var(--color-ink-soft);
        font-size: var(--text-label);
        overflow-wrap: anywhere;
      }
      .overdue {
        color: var(--color-ink);
        font-weight: var(--weight-strong);
      }
      .none {
        padding: var(--space-5);
      }
      @media (max-width: 1100px) {
        li {
          grid-template-columns: minmax(0, 1fr) 120px auto auto;
          border-left-width: 8px;
        }
        li button {
          max-width: 110px;
          padding-inline: var(--space-2);
        }
      }
      @media (max-width: 700px) {
        li {
          grid-template-columns: minmax(0, 1fr);
        }
        li button {
          max-width: none;
        }
      }
      @media (forced-colors: active) {
        .needs {
          border-left: 12px solid Highlight;
        }
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>) {
    if (changed.has("state") || changed.has("client")) this.#askForHistories();
    if (this._openId !== null && !this.#opened()) this._openId = null;
    this.toggleAttribute("data-page", this._openId !== null);
  }

  protected override render() {
    const opened = this.#opened();
    return html`
      ${opened ? this.#renderPage(opened) : this.#renderList()}
      <kiosk-connect .client=${this.client} .state=${this.state} .unit=${this.unit}></kiosk-connect>
    `;
  }

  #renderPage(heard: HeardFurnace) {
    if (this._page !== "ready")
      return html`<div class="none">
        <p role="status">${this._page === "failed" ? upkeepWords.notOpened : upkeepWords.loadingPage}</p>
        ${
          this._page === "failed"
            ? html`<button @click=${() => this.#open(heard.furnace.id)}>${upkeepWords.again}</button>
                <button @click=${this.#closePage}>${upkeepWords.back}</button>`
            : nothing
        }
      </div>`;
    return html`<kiosk-furnace-page
      .heard=${heard}
      .state=${this.state}
      .client=${this.client}
      .unit=${this.unit}
      @closed=${this.#closePage}
      @line-wanted=${() => this.#change(heard.furnace)}
      ><slot>${this.#renderCautions()}</slot></kiosk-furnace-page
    >`;
  }

  #renderList() {
    const { furnaces } = this.state;
    return html`
      <h1>${lineWords.title}</h1>
      ${
        furnaces.length === 0
          ? html`<div class="sheet none"><p>${lineWords.none}</p></div>`
          : html`<kiosk-scroll label=${lineWords.title}>
            <ul>
              ${furnaces.map((heard) => this.#renderFurnace(heard))}
            </ul>
          </kiosk-scroll>`
      }
      <kiosk-foot>
        <slot>${this.#renderCautions()}</slot>
        <button slot="actions" class="act" @click=${() => this.#change(null)}>
          ${lineWords.add}
        </button>
      </kiosk-foot>
    `;
  }

  #renderCautions() {
    return html`<p class="cautions label soft">${lineWords.mains} ${lineWords.recorder}</p>`;
  }

  #renderFurnace(heard: HeardFurnace) {
    const { furnace } = heard;
    const { text, detail, needsPerson } = this.#statement(heard);
    const now = minuteNow();
    const checks = this._checks.get(furnace.id) ?? [];
    const due = dueStatement(furnace.checkDueEpochMilliseconds, now);
    const kind = probeKindText(furnace.probe);
    const basis = probeBasisText(furnace.probe, checks, now, this.unit);
    return html`<li class="sheet ${needsPerson || due.isOverdue ? "needs" : ""}">
      <div>
        <div class="name">
          <h2>${furnace.name}</h2>
          <p class="caption soft">${captionOf(heard)}</p>
        </div>
        <p class="text">${text}</p>
        ${detail ? html`<p class="label">${detail}</p>` : nothing}
        <p class="facts">${capitalised(kind)}; ${basis}.</p>
        <p class="facts ${due.isOverdue ? "overdue" : ""}">${capitalised(due.text)}.</p>
      </div>
      <div class="history">
        ${
          checks.length === 0
            ? nothing
            : html`<kiosk-drift-plot
                class="history"
                isBrief
                .checks=${checks}
                .isCorrected=${furnace.probe.correction !== null}
                .unit=${this.unit}
                .nowEpochMilliseconds=${now}
              ></kiosk-drift-plot>`
        }
      </div>
      <button aria-label=${upkeepWords.openFurnace(furnace.name)} @click=${() => this.#open(furnace.id)}>
        ${upkeepWords.open}
      </button>
      <button @click=${() => this.#change(furnace)}>${lineWords.change}</button>
    </li>`;
  }

  /** What is wrong with the line, else with the probe; else that all is well. */
  #statement({ furnace, link, sensorFaults }: HeardFurnace): Statement {
    if (link.kind !== "listening")
      return {
        text: `${upkeepWords.line(words.link.kinds[link.kind], timeOfDayText(link.sinceEpochMilliseconds))}.`,
        detail: link.message ?? "",
        needsPerson: true,
      };
    const fault = sensorFaults.find(({ needsPerson }) => needsPerson);
    if (fault)
      return { text: faultSentence(fault, this.unit), detail: firstLook(fault.kind), needsPerson: true };
    const isUnknown = furnace.probe.type === null && furnace.probe.correction === null;
    return {
      text: isUnknown ? upkeepWords.nothingKnown : upkeepWords.healthy,
      detail: "",
      needsPerson: false,
    };
  }

  #opened(): HeardFurnace | undefined {
    return this.state.furnaces.find(({ furnace }) => furnace.id === this._openId);
  }

  /** The page is fetched when it is first wanted. */
  async #open(furnaceId: string) {
    this._openId = furnaceId;
    if (this._page === "ready") return;
    this._page = "loading";
    try {
      await import("#kiosk-ui/screens/upkeep/kiosk-furnace-page");
      this._page = "ready";
    } catch {
      this._page = "failed";
    }
  }

  readonly #closePage = () => {
    this._openId = null;
    this.#askedFor = "";
    this.#askForHistories();
  };

  /** The lines of history, once, and again after a furnace's page; without them the list stands all the same. */
  #askForHistories() {
    const { client } = this;
    const ids = this.state.furnaces.map(({ furnace }) => furnace.id);
    const askedFor = client ? ids.join(" ") : "";
    if (!client || askedFor === "" || askedFor === this.#askedFor) return;
    this.#askedFor = askedFor;
    for (const id of ids)
      Promise.all([client.checks(id), import("#kiosk-ui/screens/upkeep/kiosk-drift-plot")])
        .then(([checks]) => {
          this._checks = new Map(this._checks).set(id, checks);
        })
        .catch(() => undefined);
  }

  /** The flow is fetched when it is first wanted. */
  async #change(furnace: Furnace | null) {
    await import("#kiosk-ui/screens/upkeep/connect/kiosk-connect");
    await this._connect?.open(furnace);
  }
}

/** Whether it is a demonstration, and since when it is heard. */
function captionOf({ furnace, link }: HeardFurnace): string {
  return [
    furnace.isDemonstration && lineWords.demonstration,
    link.kind === "listening" &&
      upkeepWords.line(words.link.kinds.listening.toLowerCase(), timeOfDayText(link.sinceEpochMilliseconds)),
  ]
    .filter(Boolean)
    .join(" · ");
}

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-upkeep": KioskUpkeep;
  }
}
