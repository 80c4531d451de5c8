import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { topCelsius } from "#core/plan/plan";
import { faultSentence, firstLook } from "#core/thermocouple/fault-words";
import { probeBudget } from "#core/thermocouple/uncertainty";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import {
  countText,
  differenceWithUnit,
  numberText,
  type TemperatureUnit,
  temperatureWithUnit,
  timeOfDayText,
} from "#kiosk-ui/format";
import type { KioskRequests } from "#kiosk-ui/kiosk-client";
import { type HeardFurnace, initialKioskState, type KioskState } from "#kiosk-ui/kiosk-state";
import { type Asked, refusalLine } from "#kiosk-ui/screens/past-bakes/bake-library";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { driftScene } from "#kiosk-ui/screens/upkeep/drift-scene";
import { driftRateText } from "#kiosk-ui/screens/upkeep/drift-summary";
import { probeRequest } from "#kiosk-ui/screens/upkeep/furnace-request";
import "#kiosk-ui/screens/upkeep/kiosk-check-list";
import "#kiosk-ui/screens/upkeep/kiosk-check-result";
import "#kiosk-ui/screens/upkeep/kiosk-drift-plot";
import "#kiosk-ui/screens/upkeep/kiosk-probe-form";
import "#kiosk-ui/screens/upkeep/kiosk-reference-check";
import "#kiosk-ui/screens/upkeep/kiosk-uncertainty-table";
import "#kiosk-ui/screens/upkeep/kiosk-wire-check";
import { dueStatement, minuteNow, probeBasisText, probeKindText } from "#kiosk-ui/screens/upkeep/probe-text";
import { upkeepStyles } from "#kiosk-ui/screens/upkeep/upkeep-styles";
import { lineWords, upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { Check, CheckRequest } from "#shared/check";
import type { LinkStatus } from "#shared/furnace";
import type { ProbeSettings } from "#shared/probe";

/** What a furnace's page asks of the daemon; every refusal is an `Error` with one line to show. */
export type CheckDesk = Pick<
  KioskRequests,
  "checks" | "addCheck" | "acceptCheck" | "withdrawCorrection" | "setCheckDue" | "changeFurnace"
>;

/** What the page shows. */
type View =
  | { readonly kind: "overview" | "probe" | "uncertainty" | "wire" | "reference" }
  | { readonly kind: "check"; readonly checkId: number };

/** Where the uncertainty is looked at while there is no plan, °C. */
const USUAL_TOP_CELSIUS = 800;
const DAY_MILLISECONDS = 86_400_000;

/** From today, in so many days. */
const DUE_CHOICES = [
  { days: 7, label: upkeepWords.due.week },
  { days: 30, label: upkeepWords.due.month },
  { days: 91, label: upkeepWords.due.quarter },
  { days: null, label: upkeepWords.due.never },
] as const;

/**
 * A furnace's own page in Upkeep: its probe and how sure it is, its checks and their drift, when the next is
 * due; and from there the checks themselves.
 * @slot - the ways back to what runs
 * @fires closed {CustomEvent} back to the list of furnaces
 * @fires line-wanted {CustomEvent} its line shall be changed
 */
@customElement("kiosk-furnace-page")
export class KioskFurnacePage extends LitElement {
  /** The furnace. */
  @property({ attribute: false }) heard: HeardFurnace | null = null;
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon. */
  @property({ attribute: false }) client: CheckDesk | null = null;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _view: View = { kind: "overview" };
  @state() private _checks: Asked<readonly Check[]> = { kind: "loading" };
  @state() private _celsius: number | null = null;
  @state() private _isBusy = false;
  @state() private _refusal = "";

  /** Raised with every question, so that an answer which comes late is not taken for the newest. */
  #question = 0;
  /** The furnace and its correction that the checks were asked for. */
  #askedFor = "";

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    upkeepStyles,
    css`
      .view {
        grid-row: 1 / -1;
        min-height: 0;
      }
      .middle {
        display: flex;
        flex-direction: column;
        gap: var(--space-3);
        min-height: 0;
      }
      .columns {
        flex: 1 1 auto;
        display: grid;
        grid-template-columns: minmax(0, 1.45fr) minmax(330px, 1fr);
        gap: var(--space-3);
        min-height: 0;
      }
      .notices {
        flex: none;
        display: grid;
        gap: var(--space-1);
        padding: var(--space-2) var(--space-4);
        border-left: 12px solid var(--color-person);
      }
      .checks {
        display: grid;
        grid-template-rows: auto minmax(150px, 1fr) minmax(0, auto);
        gap: var(--space-2);
        min-height: 0;
      }
      .checks kiosk-scroll {
        max-height: 232px;
      }
      .checks.none {
        grid-template-rows: none;
        align-content: start;
      }
      .side section + section {
        margin-top: var(--space-3);
        padding-top: var(--space-3);
        border-top: 1px solid var(--color-line);
      }
      .side h2 {
        margin-bottom: 2px;
      }
      .row {
        margin-top: var(--space-2);
      }
      .row button {
        padding-inline: var(--space-2);
      }
      code {
        font-family: ui-monospace, monospace;
        font-size: 0.92em;
      }
      .label {
        overflow-wrap: anywhere;
      }
      .due {
        display: grid;
        grid-template-columns: repeat(4, 1fr);
        gap: var(--space-2);
        margin-top: var(--space-2);
      }
      .due button {
        padding: 0;
        font-size: var(--text-label);
      }
      @media (max-height: 700px) and (min-width: 701px) {
        .checks {
          grid-template-rows: auto 150px auto;
          overflow-y: auto;
        }
        .checks kiosk-scroll {
          max-height: none;
        }
      }
      @media (max-width: 800px) {
        .columns {
          grid-template-columns: minmax(0, 1fr);
        }
      }
      @media (max-width: 700px) {
        .checks {
          grid-template-rows: auto 220px auto;
        }
        .checks kiosk-scroll {
          max-height: none;
        }
        .due {
          grid-template-columns: repeat(2, 1fr);
        }
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>) {
    if (!changed.has("heard") && !changed.has("client")) return;
    const { furnace } = this.heard ?? {};
    const askedFor = this.client && furnace ? `${furnace.id} ${furnace.probe.correction?.checkId}` : "";
    if (askedFor !== "" && askedFor !== this.#askedFor) this.#ask();
    this.#askedFor = askedFor;
  }

  protected override updated(changed: PropertyValues) {
    if (changed.has("_view")) void this.#goToHeading();
  }

  protected override render() {
    const { heard } = this;
    if (!heard) return nothing;
    switch (this._view.kind) {
      case "overview":
        return this.#renderOverview(heard);
      case "probe":
        return html`<kiosk-probe-form
          class="view"
          .furnace=${heard.furnace}
          .unit=${this.unit}
          .isBusy=${this.#isHeld}
          .refusal=${this.#refusalNow}
          @probe-saved=${(event: CustomEvent<ProbeSettings>) => this.#saveProbe(event.detail)}
          @closed=${this.#overview}
          ><slot></slot
        ></kiosk-probe-form>`;
      case "uncertainty":
        return html`<kiosk-uncertainty-table
          class="view"
          .furnace=${heard.furnace}
          .checks=${this.#known}
          .celsius=${this.#celsius}
          .unit=${this.unit}
          .nowEpochMilliseconds=${minuteNow()}
          @temperature-chosen=${(event: CustomEvent<number>) => {
            this._celsius = event.detail;
          }}
          @closed=${this.#overview}
          ><slot></slot
        ></kiosk-uncertainty-table>`;
      case "wire":
        return html`<kiosk-wire-check
          class="view"
          .heard=${heard}
          .state=${this.state}
          .unit=${this.unit}
          .isBusy=${this.#isHeld}
          .refusal=${this.#refusalNow}
          @check-made=${(event: CustomEvent<CheckRequest>) => this.#addCheck(event.detail)}
          @closed=${this.#overview}
          ><slot></slot
        ></kiosk-wire-check>`;
      case "reference":
        return html`<kiosk-reference-check
          class="view"
          .heard=${heard}
          .state=${this.state}
          .unit=${this.unit}
          .isBusy=${this.#isHeld}
          .refusal=${this.#refusalNow}
          @check-made=${(event: CustomEvent<CheckRequest>) => this.#addCheck(event.detail)}
          @closed=${this.#overview}
          ><slot></slot
        ></kiosk-reference-check>`;
      case "check":
        return this.#renderCheck(heard, this._view.checkId);
    }
  }

  #renderCheck({ furnace }: HeardFurnace, checkId: number) {
    return html`<kiosk-check-result
          class="view"
      .check=${this.#known.find(({ id }) => id === checkId) ?? null}
      .furnace=${furnace}
      .unit=${this.unit}
      .isBusy=${this.#isHeld}
      .refusal=${this.#refusalNow}
      .nowEpochMilliseconds=${minuteNow()}
      @accepted=${(event: CustomEvent<string | null>) =>
        this.#change((client) => client.acceptCheck(furnace.id, checkId, event.detail))}
      @withdrawn=${(event: CustomEvent<string | null>) =>
        this.#change((client) => client.withdrawCorrection(furnace.id, event.detail))}
      @closed=${this.#overview}
      ><slot></slot
    ></kiosk-check-result>`;
  }

  #renderOverview(heard: HeardFurnace) {
    const { furnace } = heard;
    return html`
      <div class="head">
        <h1>${furnace.name}</h1>
        <p class="soft">
          ${[probeKindText(furnace.probe), ...(furnace.isDemonstration ? [checkWords.page.demonstration] : [])].join(" · ")}
        </p>
      </div>
      <div class="middle">
        ${this.#renderNotices(heard)}
        <div class="columns">
        <section class="sheet checks ${this.#known.length === 0 ? "none" : ""}" aria-label=${checkWords.page.checks}>
          ${this.#renderChecks(heard)}
        </section>
        <kiosk-scroll class="side" label=${upkeepWords.probe.title}>
          <div class="sheet">
            ${this.#renderProbe(heard)} ${this.#renderDue(heard)} ${this.#renderLine(heard)}
          </div>
        </kiosk-scroll>
        </div>
      </div>
      <kiosk-foot>
        <slot></slot>
        <button slot="actions" @click=${() => this.#show({ kind: "wire" })}>${checkWords.page.wire}</button>
        <button slot="actions" @click=${() => this.#show({ kind: "reference" })}>${checkWords.page.reference}</button>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>
          ${upkeepWords.back}
        </button>
      </kiosk-foot>
    `;
  }

  /** What needs a person: what is wrong with the probe, and a check that is overdue. */
  #renderNotices({ furnace, sensorFaults }: HeardFurnace) {
    const faults = sensorFaults.filter(({ needsPerson }) => needsPerson);
    const due = dueStatement(furnace.checkDueEpochMilliseconds, minuteNow());
    if (faults.length === 0 && !due.isOverdue) return nothing;
    return html`<div class="sheet notices">
      ${faults.map(
        (fault) => html`<p>
          <strong>${faultSentence(fault, this.unit)}</strong> <span class="label">${firstLook(fault.kind)}</span>
        </p>`,
      )}
      ${due.isOverdue ? html`<p><strong>${capitalised(due.text)}.</strong></p>` : nothing}
    </div>`;
  }

  #renderChecks({ furnace }: HeardFurnace) {
    const checks = this._checks;
    const now = minuteNow();
    if (checks.kind === "loading")
      return html`<h2>${checkWords.page.checks}</h2><p class="soft" role="status">${checkWords.loading}</p>`;
    if (checks.kind === "failed")
      return html`<h2>${checkWords.failed}</h2>
        <div class="stack">
          <p role="alert">${checks.message}</p>
          <div class="row"><button @click=${this.#ask}>${upkeepWords.again}</button></div>
        </div>`;
    if (checks.value.length === 0)
      return html`<h2>${checkWords.list.none}</h2><p class="soft">${checkWords.list.noneHelp}</p>`;
    const correctingId = furnace.probe.correction?.checkId ?? null;
    const drift = driftRateText(driftScene(checks.value, now, correctingId !== null), this.unit);
    return html`
      <h2>${checkWords.drift.title} ${drift ? html`<span class="caption soft">${drift}</span>` : nothing}</h2>
      <kiosk-drift-plot
        .checks=${checks.value}
        .isCorrected=${correctingId !== null}
        .unit=${this.unit}
        .nowEpochMilliseconds=${now}
      ></kiosk-drift-plot>
      <kiosk-scroll>
        <kiosk-check-list
          .checks=${checks.value}
          .correctingId=${correctingId}
          .unit=${this.unit}
          .nowEpochMilliseconds=${now}
          @check-opened=${(event: CustomEvent<Check>) => this.#show({ kind: "check", checkId: event.detail.id })}
        ></kiosk-check-list>
      </kiosk-scroll>
    `;
  }

  #renderProbe({ furnace: { probe } }: HeardFurnace) {
    const budget = probeBudget(probe, this.#celsius);
    const { probe: probeWords } = upkeepWords;
    return html`<section>
      <h2>${probeWords.title}</h2>
      ${
        budget.lines.length === 0
          ? html`<p>${probeWords.notSure}</p>`
          : html`<p>
              <span class="figure">± ${differenceWithUnit(budget.expanded, this.unit, 1)}</span>
              <span class="label soft">
                ${probeWords.at(temperatureWithUnit(this.#celsius, this.unit), numberText(budget.coverageFactor))}
              </span>
            </p>`
      }
      <p class="label">${capitalised(probeBasisText(probe, this.#known, minuteNow(), this.unit))}.</p>
      ${
        budget.lines.length > 0 && budget.missing.length > 0
          ? html`<p class="label soft">${probeWords.withMissing}</p>`
          : nothing
      }
      <div class="row">
        <button @click=${() => this.#show({ kind: "probe" })}>${probeWords.settings}</button>
        <button @click=${() => this.#show({ kind: "uncertainty" })}>${checkWords.page.table}</button>
      </div>
    </section>`;
  }

  #renderDue({ furnace }: HeardFurnace) {
    const due = dueStatement(furnace.checkDueEpochMilliseconds, minuteNow());
    return html`<section>
      <h2>${upkeepWords.due.title}</h2>
      <p>${capitalised(due.text)}.</p>
      ${this.#refusalNow ? html`<p class="refusal" role="alert">${this.#refusalNow}</p>` : nothing}
      <div class="due" role="group" aria-label=${upkeepWords.due.set}>
        ${DUE_CHOICES.map(
          ({ days, label }) =>
            html`<button ?disabled=${this.#isHeld} @click=${() => this.#setDue(furnace.id, days)}>${label}</button>`,
        )}
      </div>
    </section>`;
  }

  #renderLine({ furnace, link }: HeardFurnace) {
    const since = upkeepWords.line(words.link.kinds[link.kind], timeOfDayText(link.sinceEpochMilliseconds));
    return html`<section>
      <h2>${checkWords.page.line}</h2>
      <p class=${link.kind === "listening" ? "label" : "label fault"}>
        ${since}.${link.message ? html` ${link.message}` : nothing}
      </p>
      <p class="label soft">
        ${lineWords.port}: ${furnace.isDemonstration ? lineWords.simulated : (furnace.port ?? lineWords.noPort)}${
          furnace.isDemonstration ? nothing : html`, ${furnace.format}`
        }${link.format && link.format !== furnace.format ? html`, ${lineWords.formatHeard(link.format)}` : nothing}.
        ${linesText(link)}${
          link.lastRefusedLine === null
            ? "."
            : html`, ${lineWords.lastRefused.toLowerCase()}: <code>${link.lastRefusedLine}</code>`
        }
      </p>
      <div class="row">
        <button @click=${() => this.dispatchEvent(new CustomEvent("line-wanted"))}>${lineWords.change}</button>
      </div>
    </section>`;
  }

  /** The checks as far as they are there. */
  get #known(): readonly Check[] {
    return this._checks.kind === "ready" ? this._checks.value : [];
  }

  /** Nothing can be saved while something is, or while nobody would hear it. */
  get #isHeld(): boolean {
    return this._isBusy || this.state.connection.kind === "lost";
  }

  get #refusalNow(): string {
    return this.state.connection.kind === "lost" ? checkWords.disconnected : this._refusal;
  }

  /** The temperature that the uncertainty is given for: the top of the newest plan, until another is chosen. */
  get #celsius(): number {
    if (this._celsius !== null) return this._celsius;
    const newest = this.state.plans.reduce<KioskState["plans"][number] | null>(
      (best, plan) => (!best || plan.savedAtEpochMilliseconds > best.savedAtEpochMilliseconds ? plan : best),
      null,
    );
    return newest ? topCelsius(newest.plan) : USUAL_TOP_CELSIUS;
  }

  /** Whoever goes by keys, or hears the page, begins at the heading of what is shown. */
  async #goToHeading() {
    const view = this.renderRoot.querySelector<LitElement>(".view");
    await view?.updateComplete;
    const heading = (view?.renderRoot ?? this.renderRoot).querySelector<HTMLElement>("h1");
    if (!heading) return;
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
  }

  #show(view: View) {
    this._view = view;
    this._refusal = "";
  }

  readonly #overview = () => this.#show({ kind: "overview" });

  readonly #ask = async () => {
    const { client, heard } = this;
    if (!client || !heard) return;
    const question = ++this.#question;
    if (this._checks.kind === "failed") this._checks = { kind: "loading" };
    const answer = await answered(client.checks(heard.furnace.id));
    if (question !== this.#question) return;
    const keepsOld = answer.kind === "failed" && this._checks.kind === "ready";
    if (!keepsOld) this._checks = answer;
  };

  #addCheck(request: CheckRequest) {
    const { heard } = this;
    if (!heard) return;
    void this.#change(async (client) => {
      const check = await client.addCheck(heard.furnace.id, request);
      this._checks = { kind: "ready", value: [check, ...this.#known.filter(({ id }) => id !== check.id)] };
      this.#show({ kind: "check", checkId: check.id });
    });
  }

  #saveProbe(settings: ProbeSettings) {
    const { heard } = this;
    if (!heard) return;
    void this.#change(async (client) => {
      await client.changeFurnace(heard.furnace.id, probeRequest(heard.furnace, settings));
      this.#overview();
    });
  }

  #setDue(furnaceId: string, days: number | null) {
    const due = days === null ? null : Date.now() + days * DAY_MILLISECONDS;
    void this.#change((client) => client.setCheckDue(furnaceId, due));
  }

  /** Asks for a change; one at a time, and a refusal is shown as the one line that it is. */
  async #change(change: (client: CheckDesk) => Promise<unknown>) {
    const { client } = this;
    if (!client || this.#isHeld) return;
    this._isBusy = true;
    this._refusal = "";
    const answer = await answered(change(client));
    this._isBusy = false;
    if (answer.kind === "failed") this._refusal = answer.message;
    else void this.#ask();
  }
}

async function answered<Value>(answer: Promise<Value>): Promise<Asked<Value>> {
  try {
    return { kind: "ready", value: await answer };
  } catch (error) {
    return { kind: "failed", message: refusalLine(error) };
  }
}

function linesText({ acceptedLines, refusedLines, overlongLines }: LinkStatus): string {
  return [
    `${lineWords.lines}: ${lineWords.accepted(countText(acceptedLines))}`,
    lineWords.refused(countText(refusedLines)),
    ...(overlongLines > 0 ? [lineWords.overlong(countText(overlongLines))] : []),
  ].join(", ");
}

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-furnace-page": KioskFurnacePage;
  }
  interface HTMLElementEventMap {
    "line-wanted": CustomEvent;
  }
}
