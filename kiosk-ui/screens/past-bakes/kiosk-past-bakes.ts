import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { chartWords } from "#kiosk-ui/chart/chart-words";
import { stageChoices } from "#kiosk-ui/chart/stage-choices";
import "#kiosk-ui/components/kiosk-foot";
import type { TemperatureUnit } from "#kiosk-ui/format";
import type { FinishedBake } from "#kiosk-ui/kiosk-state";
import {
  type Asked,
  type BakeLibrary,
  glassOfBake,
  ledgerOfJob,
  type OpenedBake,
  openedBake,
  refusalLine,
} from "#kiosk-ui/screens/past-bakes/bake-library";
import { type BakeQuery, bakeFilter, everyBake } from "#kiosk-ui/screens/past-bakes/bake-query";
import type { BakePage } from "#kiosk-ui/screens/past-bakes/kiosk-bake-list";
import "#kiosk-ui/screens/past-bakes/kiosk-bake-list";
import "#kiosk-ui/screens/past-bakes/kiosk-bake-page";
import "#kiosk-ui/screens/past-bakes/kiosk-bake-pair";
import "#kiosk-ui/screens/past-bakes/kiosk-choice";
import { pastBakesStyles } from "#kiosk-ui/screens/past-bakes/past-bakes-styles";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { BakeDetail } from "#shared/bake";
import type { FurnaceStatus } from "#shared/furnace";
import type { BakeGlass } from "#shared/glass";
import type { GradeWord } from "#shared/grade";
import type { JobLedger } from "#shared/layer";
import type { PlanRevision } from "#shared/plan";
import type { BakePatch } from "#shared/requests";

type View =
  | { readonly kind: "list" }
  | { readonly kind: "bake"; readonly bakeId: number }
  | { readonly kind: "pair"; readonly bakeIds: readonly [number, number] };

/**
 * Past bakes: the list, one bake opened, or two laid over each other.
 * @slot - what the foot says, such as the bakes that run now; a sentence of its own when empty
 */
@customElement("kiosk-past-bakes")
export class KioskPastBakes extends LitElement {
  /** Where the bakes come from. */
  @property({ attribute: false }) client: BakeLibrary | null = null;
  /** The newest revision of every plan. */
  @property({ attribute: false }) plans: readonly PlanRevision[] = [];
  /** The furnaces of the lab. */
  @property({ attribute: false }) furnaces: readonly FurnaceStatus[] = [];
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** A bake to open at once, whenever it is set; null for the list. */
  @property({ attribute: false }) openBakeId: number | null = null;

  /** The bakes that ended while this page was open: another one, and the list is asked for anew. */
  @property({ attribute: false }) finishedBakes: readonly FinishedBake[] = [];

  @state() private _view: View = { kind: "list" };
  @state() private _query: BakeQuery = everyBake;
  @state() private _page: Asked<BakePage> = { kind: "loading" };
  @state() private _opened: Asked<readonly OpenedBake[]> = { kind: "loading" };
  @state() private _glass: Asked<BakeGlass> = { kind: "loading" };
  /** Of the opened bake's job; null without one. */
  @state() private _ledger: Asked<JobLedger> | null = null;
  /** The stage looked at, by its key; empty for the whole bake. */
  @state() private _stage = "";
  @state() private _isSaving = false;
  @state() private _refusal = "";

  /** Raised with every question, so that an answer which comes late is not taken for the newest. */
  #question = 0;

  static override styles = [
    baseStyles,
    touchStyles,
    pastBakesStyles,
    css`
      .place {
        flex: 1 1 auto;
        min-height: 0;
      }
      kiosk-foot {
        flex: none;
        margin-top: var(--space-3);
      }
      .said {
        align-self: center;
        font-size: var(--text-lead);
      }
      kiosk-choice {
        min-width: 9em;
        font-size: var(--text-lead);
      }
      button[slot] {
        min-height: var(--touch-target-act);
        min-width: calc(24 * var(--mm));
        font-size: var(--text-lead);
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>) {
    if (changed.has("openBakeId") && this.openBakeId !== null) this.#openBake(this.openBakeId);
    else if (changed.has("client")) this.#ask();
    else if (this._view.kind === "list" && hasAnother(changed.get("finishedBakes"), this.finishedBakes))
      this.#askAgain();
  }

  protected override render() {
    return html`
      <main class="place">${this.#renderPlace()}</main>
      <kiosk-foot>
        <slot><p class="said soft">${this.#said()}</p></slot>
        ${this.#renderActions()}
      </kiosk-foot>
    `;
  }

  #renderPlace() {
    if (this._view.kind === "list")
      return html`<kiosk-bake-list
        .query=${this._query}
        .page=${this._page}
        .furnaces=${this.furnaces}
        .plans=${this.plans}
        .unit=${this.unit}
        @query-changed=${(event: CustomEvent<BakeQuery>) => this.#show(event.detail)}
        @bake-opened=${(event: CustomEvent<number>) => this.#openBake(event.detail)}
        @asked-again=${this.#ask}
      ></kiosk-bake-list>`;
    if (this._opened.kind === "loading")
      return html`<div class="state soft" role="status">${words.loadingBake}</div>`;
    if (this._opened.kind === "failed")
      return html`<div class="state" role="alert">
        <h2>${words.failed}</h2>
        <p class="soft">${this._opened.message}</p>
        <button class="act" @click=${this.#ask}>${words.again}</button>
      </div>`;
    return this.#renderOpened(this._opened.value);
  }

  #renderOpened([first, second]: readonly OpenedBake[]) {
    if (!first) return nothing;
    if (second)
      return html`<kiosk-bake-pair
        .first=${first}
        .second=${second}
        .unit=${this.unit}
        .stage=${this._stage || null}
        @stage-looked-at=${this.#lookAtTouched}
      ></kiosk-bake-pair>`;
    return html`<kiosk-bake-page
      .opened=${first}
      .plans=${this.plans}
      .unit=${this.unit}
      .stage=${this._stage || null}
      .isSaving=${this._isSaving}
      .refusal=${this._refusal}
      .glass=${this._glass}
      .ledger=${this._ledger}
      @stage-looked-at=${this.#lookAtTouched}
      @grade-chosen=${(event: CustomEvent<GradeWord>) =>
        this.#save(first, (client, bakeId) => client.gradeBake(bakeId, { grade: event.detail }))}
      @bake-changed=${(event: CustomEvent<BakePatch>) =>
        this.#save(first, (client, bakeId) => client.changeBake(bakeId, event.detail))}
    ></kiosk-bake-page>`;
  }

  #renderActions() {
    if (this._view.kind !== "list")
      return html`${this.#renderStageChoice()}
        <button slot="actions" @click=${this.#back}>${words.back}</button>`;
    const [first, second] = this._query.chosen;
    if (first === undefined) return nothing;
    return html`
      <button slot="actions" @click=${() => this.#show({ ...this._query, chosen: [] })}>${words.forget}</button>
      <button
        slot="actions"
        class="main"
        ?disabled=${second === undefined}
        @click=${() => second !== undefined && this.#openPair(first, second)}
      >
        ${words.compare}
      </button>
    `;
  }

  /** Which stage the curve shows. */
  #renderStageChoice() {
    const first = this._opened.kind === "ready" ? this._opened.value[0] : undefined;
    if (!first?.detail.plan) return nothing;
    const { plan, comparison } = first.detail;
    return html`<kiosk-choice
      slot="actions"
      .label=${chartWords.lookAt}
      .choices=${stageChoices(plan.plan, comparison, first.samples)}
      .value=${this._stage}
      @choice-made=${(event: CustomEvent<string>) => {
        this._stage = event.detail;
      }}
    ></kiosk-choice>`;
  }

  readonly #lookAtTouched = (event: CustomEvent<string | null>) => {
    this._stage = event.detail ?? "";
  };

  #said(): string {
    if (this._isSaving) return words.saving;
    if (this._view.kind !== "list") return "";
    return [words.chooseTwo, words.chooseSecond, words.bothChosen][this._query.chosen.length] ?? "";
  }

  #show(query: BakeQuery) {
    const isOnlyChoice = sameBakes(query, this._query);
    this._query = query;
    if (!isOnlyChoice) this.#ask();
  }

  #openBake(bakeId: number) {
    this._view = { kind: "bake", bakeId };
    this.#ask();
  }

  #openPair(first: number, second: number) {
    this._view = { kind: "pair", bakeIds: [first, second] };
    this.#ask();
  }

  #back() {
    this._view = { kind: "list" };
    this.openBakeId = null;
    this.#ask();
  }

  /** Asks for what the view shows. */
  readonly #ask = () => {
    const { client } = this;
    if (!client) return;
    this._refusal = "";
    this._isSaving = false;
    const question = ++this.#question;
    const isNewest = () => question === this.#question;
    if (this._view.kind === "list") {
      this._page = { kind: "loading" };
      this.#askAgain();
      return;
    }
    this._stage = "";
    const bakeIds = this._view.kind === "bake" ? [this._view.bakeId] : this._view.bakeIds;
    this._opened = { kind: "loading" };
    void answered(Promise.all(bakeIds.map((bakeId) => openedBake(client, bakeId)))).then((opened) => {
      if (!isNewest()) return;
      this._opened = opened;
      const [first, second] = opened.kind === "ready" ? opened.value : [];
      if (first && !second) this.#askOfLayers(first.detail, client);
    });
  };

  /** What is reckoned from an opened bake comes after it: its page is there at once. */
  #askOfLayers({ bake }: BakeDetail, client: BakeLibrary) {
    const question = this.#question;
    this._glass = { kind: "loading" };
    this._ledger = bake.jobNumber === null ? null : { kind: "loading" };
    void answered(glassOfBake(client, bake.id)).then((glass) => {
      if (question === this.#question) this._glass = glass;
    });
    if (bake.jobNumber !== null)
      void answered(ledgerOfJob(client, bake.jobNumber)).then((ledger) => {
        if (question === this.#question) this._ledger = ledger;
      });
  }

  /** Asks for the list, which goes on being shown until the answer is there. */
  #askAgain() {
    const question = ++this.#question;
    if (this.client)
      void answered(this.client.bakes(bakeFilter(this._query))).then((page) => {
        if (question === this.#question) this._page = page;
      });
  }

  async #save(opened: OpenedBake, save: (client: BakeLibrary, bakeId: number) => Promise<BakeDetail>) {
    const { client } = this;
    if (!client || this._isSaving) return;
    const question = this.#question;
    this._isSaving = true;
    this._refusal = "";
    const answer = await answered(save(client, opened.detail.bake.id));
    if (question !== this.#question) return;
    this._isSaving = false;
    if (answer.kind === "failed") this._refusal = answer.message;
    if (answer.kind !== "ready") return;
    this._opened = { kind: "ready", value: [{ ...opened, detail: answer.value }] };
    if (isReckonedAnew(opened.detail, answer.value)) this.#askOfLayers(answer.value, client);
  }
}

async function answered<Value>(answer: Promise<Value>): Promise<Asked<Value>> {
  try {
    return { kind: "ready", value: await answer };
  } catch (error) {
    return { kind: "failed", message: refusalLine(error) };
  }
}

/** True where a bake has ended since. */
function hasAnother(before: readonly FinishedBake[] | undefined, now: readonly FinishedBake[]): boolean {
  return now.some(({ bake }) => before?.every((other) => other.bake.id !== bake.id));
}

/** True where another plan or job changes what is reckoned from a bake. */
function isReckonedAnew({ bake: before }: BakeDetail, { bake: now }: BakeDetail): boolean {
  return before.planId !== now.planId || before.jobNumber !== now.jobNumber;
}

/** True where two queries find the same bakes, whatever is chosen among them. */
function sameBakes(one: BakeQuery, other: BakeQuery): boolean {
  return JSON.stringify(bakeFilter(one)) === JSON.stringify(bakeFilter(other));
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-past-bakes": KioskPastBakes;
  }
}
