import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-sentence";
import "#kiosk-ui/screens/now/kiosk-bake-dialog";
import "#kiosk-ui/screens/now/kiosk-finished";
import "#kiosk-ui/screens/now/kiosk-furnace-tile";
import "#kiosk-ui/screens/now/kiosk-running";
import "#kiosk-ui/screens/now/kiosk-waiting";
import { act, type Preparation } from "#kiosk-ui/components/kiosk-action";
import { briefTemperature } from "#kiosk-ui/components/reading-trust";
import type { TemperatureUnit } from "#kiosk-ui/format";
import type { KioskRequests } from "#kiosk-ui/kiosk-client";
import {
  type BakeInView,
  finishedBakeOf,
  type HeardFurnace,
  initialKioskState,
  type KioskState,
  openBakeOf,
  readingAgeSeconds,
} from "#kiosk-ui/kiosk-state";
import { type BakeSentence, faultStatement } from "#kiosk-ui/screens/now/bake-sentence";
import type { KioskBakeDialog } from "#kiosk-ui/screens/now/kiosk-bake-dialog";
import type { PageState } from "#kiosk-ui/screens/place-pages";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { BeginRequest } from "#shared/requests";

/** Stands for a choice made by hand: all furnaces, whatever runs. */
export const ALL_FURNACES = "all";

/**
 * The furnace that Now shows: the one chosen by hand, else the only one with a bake to look at.
 * @returns null for the tiles
 */
export function shownFurnace(state: KioskState, chosenFurnaceId: string | null): string | null {
  if (chosenFurnaceId === ALL_FURNACES) return null;
  const withBake = state.furnaces
    .map(({ furnace }) => furnace.id)
    .filter((id) => openBakeOf(state, id) !== null || finishedBakeOf(state, id) !== null);
  if (chosenFurnaceId !== null && withBake.includes(chosenFurnaceId)) return chosenFurnaceId;
  return withBake.length === 1 ? (withBake[0] ?? null) : null;
}

/** What is said under the tiles: the first fault of a thermocouple with its furnace, else how to begin. */
function tilesSentence(furnaces: readonly HeardFurnace[], unit: TemperatureUnit): BakeSentence {
  if (furnaces.length === 0) return { text: words.tiles.nothingMeasured, detail: "", needsPerson: false };
  const heard = furnaces.filter(({ link }) => link.kind === "listening");
  for (const { furnace, sensorFaults } of heard) {
    const fault = faultStatement(sensorFaults, unit);
    if (fault) return { ...fault, text: words.tiles.of(furnace.name, fault.text) };
  }
  return { text: words.tiles.sentence, detail: words.tiles.sentenceDetail, needsPerson: false };
}

/**
 * The place Now: the tiles, or the one furnace that is looked at.
 * @fires begin-wanted {CustomEvent} Begin is to be shown, and its page is not there
 */
@customElement("kiosk-now")
export class KioskNow extends LitElement {
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** The furnace looked at; null for the tiles. */
  @property({ attribute: false }) furnaceId: string | null = null;
  /** A bake about to be begun; null when none is. */
  @property({ attribute: false }) preparation: Preparation | null = null;
  /** Bakes that make no sound. */
  @property({ attribute: false }) quietBakes: ReadonlySet<number> = new Set();
  /** True while the daemon has not answered what was asked last. */
  @property({ type: Boolean }) isBusy = false;
  /** The daemon, for what a job and a furnace have had. */
  @property({ attribute: false }) client: Pick<KioskRequests, "ask" | "bakes"> | null = null;
  /** How far the page of Begin has come, which is fetched when it is first wanted. */
  @property() beginPage: PageState = "unasked";

  @state() private _givesPlanTo: number | null = null;
  @query("kiosk-bake-dialog") private _dialog: KioskBakeDialog | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      :host {
        display: block;
        height: 100%;
        min-height: 0;
      }
      .tiles {
        display: grid;
        grid-template-rows: minmax(0, 1fr) auto;
        gap: var(--space-3);
        height: 100%;
      }
      .grid {
        display: grid;
        scrollbar-width: thin;
        grid-template-columns: repeat(auto-fit, minmax(min(100%, 290px), 1fr));
        grid-auto-rows: minmax(min-content, 1fr);
        gap: var(--space-4);
        min-height: 0;
        overflow-y: auto;
      }
      .none {
        align-self: center;
        max-width: 40em;
        margin: auto;
        padding: var(--space-5);
      }
      .opening {
        display: grid;
        grid-template-rows: auto minmax(0, 1fr) auto;
        gap: var(--space-3);
        height: 100%;
      }
      .said {
        display: grid;
        gap: var(--space-3);
        justify-items: center;
        place-self: center;
      }
      /* As narrow as its longest word, so that it does not move with what is said beside it. */
      .other {
        width: min-content;
        line-height: 1.15;
      }
      @media (max-width: 700px) {
        .tiles,
        .opening {
          height: auto;
        }
      }
    `,
  ];

  protected override updated(_changed: PropertyValues<this>) {
    const isWanted = this.preparation !== null || this._givesPlanTo !== null;
    if (isWanted && this.beginPage === "unasked") this.#wantBegin();
  }

  protected override render() {
    const furnace = this.state.furnaces.find(({ furnace: { id } }) => id === this.furnaceId);
    if (this.preparation) return this.#renderBegin(this.preparation);
    if (!furnace) return this.#renderTiles();
    const finished = finishedBakeOf(this.state, furnace.furnace.id);
    const bake = openBakeOf(this.state, furnace.furnace.id);
    if (bake && this._givesPlanTo === bake.bake.id) return this.#renderGivePlan(bake);
    if (bake) return this.#renderOpen(bake, furnace);
    if (finished)
      return html`<kiosk-finished .finished=${finished} .unit=${this.unit}>${this.#renderOthers(furnace)}</kiosk-finished>`;
    return this.#renderTiles();
  }

  #renderTiles() {
    const { furnaces } = this.state;
    const sentence = tilesSentence(furnaces, this.unit);
    return html`<div class="tiles">
      ${
        furnaces.length === 0
          ? html`<div class="sheet none">
            <h1>${words.tiles.none}</h1>
            <p class="soft">${words.tiles.noneHelp}</p>
          </div>`
          : html`<div class="grid">${furnaces.map((furnace) => this.#renderTile(furnace))}</div>`
      }
      <kiosk-foot>
        <kiosk-sentence
          .text=${sentence.text}
          .detail=${sentence.detail}
          .needsPerson=${sentence.needsPerson}
        ></kiosk-sentence>
      </kiosk-foot>
    </div>`;
  }

  #renderTile(furnace: HeardFurnace) {
    return html`<kiosk-furnace-tile
      .furnace=${furnace}
      .ageSeconds=${readingAgeSeconds(this.state, furnace)}
      .openBake=${openBakeOf(this.state, furnace.furnace.id)}
      .finishedBake=${finishedBakeOf(this.state, furnace.furnace.id)}
      .unit=${this.unit}
    ></kiosk-furnace-tile>`;
  }

  #renderBegin(preparation: Preparation) {
    const { furnaceId, planId } = preparation;
    const name =
      this.state.furnaces.find(({ furnace }) => furnace.id === furnaceId)?.furnace.name ?? furnaceId;
    const heading = words.begin.title(name);
    const cancel = () => act(this, { kind: "show-furnace", furnaceId: null });
    if (this.beginPage !== "ready") return this.#renderOpening(heading, cancel);
    return html`<kiosk-begin
      .heading=${heading}
      .client=${this.client}
      .furnaceId=${furnaceId}
      .plans=${this.state.plans}
      .materials=${this.state.materials}
      .planId=${planId}
      .given=${preparation}
      .unit=${this.unit}
      .isBusy=${this.isBusy}
      @cancelled=${cancel}
      @chosen=${({ detail }: CustomEvent<BeginRequest>) =>
        act(this, { kind: "begin", furnaceId, request: detail })}
    ></kiosk-begin>`;
  }

  #renderGivePlan(open: BakeInView) {
    const { bake } = open;
    const heading = words.bake.givePlanTo(bake.furnaceName);
    const cancel = () => {
      this._givesPlanTo = null;
    };
    if (this.beginPage !== "ready") return this.#renderOpening(heading, cancel);
    return html`<kiosk-begin
      .heading=${heading}
      .confirmWord=${words.bake.save}
      .client=${this.client}
      .furnaceId=${bake.furnaceId}
      .plans=${this.state.plans}
      .materials=${this.state.materials}
      .planId=${bake.planId}
      .openBake=${open}
      .unit=${this.unit}
      .isBusy=${this.isBusy}
      @cancelled=${cancel}
      @chosen=${({ detail: { revision: _, ...patch } }: CustomEvent<BeginRequest>) => {
        this._givesPlanTo = null;
        act(this, { kind: "change-bake", bakeId: bake.id, patch });
      }}
    ></kiosk-begin>`;
  }

  /** Begin, whose page is on its way or did not come. */
  #renderOpening(heading: string, cancel: () => void) {
    const isFailed = this.beginPage === "failed";
    return html`<div class="opening">
      <h1>${heading}</h1>
      ${
        isFailed
          ? html`<div class="said" role="alert">
              <p>${words.opening.failed(words.begin.confirm)}</p>
              <button class="act" @click=${this.#wantBegin}>${words.opening.again}</button>
            </div>`
          : html`<p class="said soft" role="status">${words.opening.opening}</p>`
      }
      <kiosk-foot>
        <button slot="actions" class="act" @click=${cancel}>${words.cancel}</button>
      </kiosk-foot>
    </div>`;
  }

  readonly #wantBegin = () => {
    this.dispatchEvent(new CustomEvent("begin-wanted"));
  };

  #renderOpen(bake: BakeInView, furnace: HeardFurnace) {
    const ageSeconds = readingAgeSeconds(this.state, furnace);
    const open = () => this._dialog?.open();
    const wantPlan = () => {
      this._givesPlanTo = bake.bake.id;
    };
    const screen =
      bake.bake.state === "waiting"
        ? html`<kiosk-waiting
            .bake=${bake}
            .furnace=${furnace}
            .ageSeconds=${ageSeconds}
            .unit=${this.unit}
            @bake-opened=${open}
            >${this.#renderOthers(furnace)}</kiosk-waiting
          >`
        : html`<kiosk-running
            .bake=${bake}
            .furnace=${furnace}
            .ageSeconds=${ageSeconds}
            .unit=${this.unit}
            .hearsDaemon=${this.state.connection.kind === "connected"}
            .isQuiet=${this.quietBakes.has(bake.bake.id)}
            @bake-opened=${open}
            @plan-wanted=${wantPlan}
            >${this.#renderOthers(furnace)}</kiosk-running
          >`;
    return html`${screen}<kiosk-bake-dialog
        .bake=${bake}
        .unit=${this.unit}
        @plan-wanted=${wantPlan}
      ></kiosk-bake-dialog>`;
  }

  /** With two furnaces the way to the other, with its temperature; with more, the way to the tiles. */
  #renderOthers(shown: HeardFurnace) {
    const others = this.state.furnaces.filter((furnace) => furnace !== shown);
    const [other] = others;
    if (!other) return nothing;
    if (others.length > 1 || !this.#isBusyFurnace(other))
      return html`<button slot="actions" class="act" @click=${() => this.#show(null)}>
        ${words.running.furnaces}
      </button>`;
    const temperature = briefTemperature(other, this.unit);
    return html`<button slot="actions" class="act other" @click=${() => this.#show(other.furnace.id)}>
      ${other.furnace.name}${temperature === null ? nothing : html`<br />${temperature}`}
    </button>`;
  }

  #isBusyFurnace({ furnace }: HeardFurnace) {
    return openBakeOf(this.state, furnace.id) !== null || finishedBakeOf(this.state, furnace.id) !== null;
  }

  #show(furnaceId: string | null) {
    act(this, { kind: "show-furnace", furnaceId });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-now": KioskNow;
  }
}
