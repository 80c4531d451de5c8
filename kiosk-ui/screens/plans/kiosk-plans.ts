import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import { planFacts } from "#kiosk-ui/components/plan-facts";
import { dayText, type TemperatureUnit } from "#kiosk-ui/format";
import { initialKioskState, type KioskState } from "#kiosk-ui/kiosk-state";
import { readCardFile } from "#kiosk-ui/screens/plans/card-import";
import { conditionsText } from "#kiosk-ui/screens/plans/conditions-text";
import "#kiosk-ui/screens/plans/kiosk-card-page";
import "#kiosk-ui/screens/plans/kiosk-plan-curve";
import { importCard, type PlanDesk, refusalLine } from "#kiosk-ui/screens/plans/plan-desk";
import { plansStyles } from "#kiosk-ui/screens/plans/plans-styles";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { PlanRevision } from "#shared/plan";

const words = plansWords.list;

/** What the place shows: the list, a card and what stands behind it, or the materials. */
type View =
  | { readonly kind: "list" | "materials" | "new" }
  | { readonly kind: "card" | "what-if" | "edit" | "revisions"; readonly planId: number };

/** What a card's page may ask for. */
export type CardView = "what-if" | "edit" | "revisions";

/** A card as it is now, and what was done to it in one line. */
export interface CardDone {
  readonly revision: PlanRevision;
  readonly said: string;
}

/** The pages that are fetched when they are first wanted. */
const LATE_PAGES = {
  "what-if": () => import("#kiosk-ui/screens/plans/kiosk-card-case"),
  edit: () => import("#kiosk-ui/screens/plans/kiosk-card-editor"),
  new: () => import("#kiosk-ui/screens/plans/kiosk-card-editor"),
  revisions: () => import("#kiosk-ui/screens/plans/kiosk-card-revisions"),
  materials: () => import("#kiosk-ui/screens/plans/kiosk-materials"),
} as const;

/**
 * The place Plans: the cards, and from there each card, what it gives for a case, its revisions, editing, and the
 * materials.
 * @slot - the way back to what runs, in the bottom row
 */
@customElement("kiosk-plans")
export class KioskPlans extends LitElement {
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon. */
  @property({ attribute: false }) client: PlanDesk | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _view: View = { kind: "list" };
  /** How far the page of the view has come. */
  @state() private _page: "loading" | "ready" | "failed" = "ready";
  @state() private _isRetiredShown = false;
  @state() private _isBusy = false;
  @state() private _said = "";
  @state() private _refusal = "";
  /** Answers that the daemon's list may not hold yet. */
  @state() private _answered: ReadonlyMap<number, PlanRevision> = new Map();
  @query("input[type=file]") private _file: HTMLInputElement | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    plansStyles,
    css`
      :host([data-page]) {
        display: block;
      }
      .page {
        height: 100%;
      }
      .opening {
        display: grid;
        grid-template-rows: minmax(0, 1fr) auto;
      }
      .cards {
        display: grid;
        gap: var(--space-2);
        align-content: start;
      }
      .card {
        display: grid;
        grid-template-columns: 132px minmax(0, 1fr) minmax(0, 24%);
        align-items: center;
        gap: 2px var(--space-4);
        width: 100%;
        padding: var(--space-2) var(--space-4);
        border-color: transparent;
        color: var(--color-ink);
        text-align: left;
      }
      .cards kiosk-plan-curve {
        height: 64px;
      }
      .name {
        display: block;
        font-size: var(--text-lead);
      }
      .facts,
      .about {
        display: block;
        margin-top: 3px;
        font-size: var(--text-label);
        font-weight: var(--weight-text);
        color: var(--color-ink-soft);
      }
      .about {
        font-size: var(--text-caption);
        text-align: right;
        line-height: 1.35;
      }
      .retired .name {
        font-weight: var(--weight-text);
        color: var(--color-ink-soft);
      }
      input[type="file"] {
        display: none;
      }
      .switch {
        justify-self: start;
      }
      @media (max-width: 1100px) {
        .card {
          grid-template-columns: 100px minmax(0, 1fr) minmax(0, 22%);
        }
      }
      @media (max-width: 700px) {
        .card {
          grid-template-columns: minmax(0, 1fr);
        }
        .cards kiosk-plan-curve {
          display: none;
        }
        .about {
          text-align: left;
        }
        .page {
          height: auto;
        }
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>) {
    if (changed.has("state")) this.#forgetAnswered();
    if ("planId" in this._view && !this.#revision(this._view.planId)) this._view = { kind: "list" };
    this.toggleAttribute("data-page", this._view.kind !== "list");
  }

  protected override render() {
    const view = this._view;
    if (view.kind === "list") return this.#renderList();
    if (view.kind === "card") return this.#renderCard(view.planId);
    if (this._page !== "ready") return this.#renderOpening();
    switch (view.kind) {
      case "materials":
        return html`<kiosk-materials
          class="page"
          .state=${this.state}
          .client=${this.client}
          .unit=${this.unit}
          @closed=${this.#toList}
          ><slot></slot
        ></kiosk-materials>`;
      case "new":
        return this.#renderEditor(null, this.#toList);
      case "edit":
        return this.#renderEditor(this.#revision(view.planId), () => this.#toCard(view.planId));
      case "what-if":
        return html`<kiosk-card-case
          class="page"
          .revision=${this.#revision(view.planId)}
          .state=${this.state}
          .client=${this.client}
          .unit=${this.unit}
          @closed=${() => this.#toCard(view.planId)}
          ><slot></slot
        ></kiosk-card-case>`;
      case "revisions":
        return html`<kiosk-card-revisions
          class="page"
          .newest=${this.#revision(view.planId)}
          .state=${this.state}
          .client=${this.client}
          .unit=${this.unit}
          @card-done=${this.#onDone}
          @closed=${() => this.#toCard(view.planId)}
          ><slot></slot
        ></kiosk-card-revisions>`;
    }
  }

  #renderList() {
    const cards = this.#cards();
    const retired = cards.filter(({ isRetired }) => isRetired);
    const shown = this._isRetiredShown ? cards : cards.filter(({ isRetired }) => !isRetired);
    return html`
      <div class="head">
        <h1>${plansWords.title}</h1>
        <p class="soft">${plansWords.first}</p>
      </div>
      ${
        cards.length === 0
          ? html`<div class="sheet state">
              <h2>${words.none}</h2>
              <p class="soft">${words.noneHelp}</p>
            </div>`
          : html`<kiosk-scroll label=${plansWords.title}>
              <ul class="cards">
                ${shown.map((revision) => this.#renderRow(revision))}
                ${shown.length === 0 ? html`<li class="sheet state">${words.allRetired}</li>` : nothing}
                ${retired.length > 0 ? html`<li class="switch">${this.#renderSwitch(retired.length)}</li>` : nothing}
              </ul>
            </kiosk-scroll>`
      }
      <kiosk-foot>
        <div class="foot-left"><slot></slot>${this.#renderSaid()}</div>
        <button slot="actions" @click=${() => this.#show({ kind: "materials" })}>${words.materials}</button>
        <button slot="actions" ?disabled=${this._isBusy} @click=${() => this._file?.click()}>
          ${words.importFile}
        </button>
        <button slot="actions" @click=${() => this.#show({ kind: "new" })}>${words.isNew}</button>
      </kiosk-foot>
      <input type="file" accept=".json,application/json" aria-label=${words.importFile} @change=${this.#onFile} />
    `;
  }

  #renderSaid() {
    return this._refusal ? html`<p class="said refusal" role="alert">${this._refusal}</p>` : nothing;
  }

  #renderSwitch(count: number) {
    return html`<button
      aria-pressed=${this._isRetiredShown}
      @click=${() => {
        this._isRetiredShown = !this._isRetiredShown;
      }}
    >
      ${this._isRetiredShown ? words.hideRetired : words.showRetired(count)}
    </button>`;
  }

  #renderRow(revision: PlanRevision) {
    const { plan, isRetired, isDemonstration } = revision;
    const saved = words.revision(revision.revision, dayText(revision.savedAtEpochMilliseconds));
    const origin = [
      ...(isRetired ? [words.retired] : []),
      ...(isDemonstration ? [words.demonstration] : []),
    ].join(", ");
    return html`<li>
      <button class="card ${isRetired ? "retired" : ""}" @click=${() => this.#toCard(revision.planId)}>
        <kiosk-plan-curve isBrief .plan=${plan}></kiosk-plan-curve>
        <span>
          <span class="name">${plan.name}</span>
          <span class="facts">${planFacts(plan, this.unit)}</span>
          <span class="facts">${this.#fitsText(revision)}</span>
        </span>
        <span class="about">${saved}${origin ? html`<br />${origin}` : nothing}</span>
      </button>
    </li>`;
  }

  #fitsText({ adaptations }: PlanRevision): string {
    const furnaces = this.state.furnaces.map(({ furnace }) => furnace);
    return adaptations.length === 0 ? words.fitsNothing : words.fits(conditionsText(adaptations, furnaces));
  }

  #renderCard(planId: number) {
    const revision = this.#revision(planId);
    if (!revision) return nothing;
    return html`<kiosk-card-page
      class="page"
      .revision=${revision}
      .state=${this.state}
      .client=${this.client}
      .unit=${this.unit}
      .said=${this._said}
      @card-done=${this.#onDone}
      @view-wanted=${(event: CustomEvent<CardView>) => this.#show({ kind: event.detail, planId })}
      @closed=${this.#toList}
      ><slot></slot
    ></kiosk-card-page>`;
  }

  #renderEditor(revision: PlanRevision | null, back: () => void) {
    return html`<kiosk-card-editor
      class="page"
      .revision=${revision}
      .state=${this.state}
      .client=${this.client}
      .unit=${this.unit}
      @card-done=${this.#onDone}
      @closed=${back}
      ><slot></slot
    ></kiosk-card-editor>`;
  }

  #renderOpening() {
    const view = this._view;
    const isFailed = this._page === "failed";
    return html`<div class="opening page">
      <div class="state"><p role="status">${isFailed ? plansWords.notOpened : plansWords.loading}</p></div>
      <kiosk-foot>
        <div class="foot-left"><slot></slot></div>
        <button slot="actions" @click=${() => ("planId" in view ? this.#toCard(view.planId) : this.#toList())}>
          ${plansWords.back}
        </button>
        ${
          isFailed
            ? html`<button slot="actions" class="act main" @click=${this.#openAgain}>${plansWords.again}</button>`
            : nothing
        }
      </kiosk-foot>
    </div>`;
  }

  /** The newest of every card: the daemon's list, with the answers that it may not hold yet. */
  #cards(): PlanRevision[] {
    const { plans } = this.state;
    const known = new Set(plans.map(({ planId }) => planId));
    return [
      ...plans.map((revision) => this._answered.get(revision.planId) ?? revision),
      ...[...this._answered.values()].filter(({ planId }) => !known.has(planId)),
    ];
  }

  #revision(planId: number): PlanRevision | null {
    return this.#cards().find((revision) => revision.planId === planId) ?? null;
  }

  /** Once the daemon's list changes it holds every answer, or something newer. */
  #forgetAnswered() {
    if (this._answered.size === 0 || this.state.plans === this.#listAnswered) return;
    this._answered = new Map();
  }
  #listAnswered: readonly PlanRevision[] = [];

  async #show(view: View) {
    this._said = "";
    this._refusal = "";
    this._view = view;
    if (view.kind === "list" || view.kind === "card") return;
    this._page = "loading";
    try {
      await LATE_PAGES[view.kind]();
      this._page = "ready";
    } catch {
      this._page = "failed";
    }
  }

  /** After an update a page's file has another name: what fails twice is mended by loading everything anew. */
  readonly #openAgain = async () => {
    await this.#show(this._view);
    if (this._page === "failed" && this.state.connection.kind === "connected") location.reload();
  };

  readonly #toList = () => {
    void this.#show({ kind: "list" });
  };

  #toCard(planId: number) {
    void this.#show({ kind: "card", planId });
  }

  /** Shows the card that came of what was done, and says what that was. */
  readonly #onDone = (event: CustomEvent<CardDone>) => {
    this.#take(event.detail);
  };

  #take({ revision, said }: CardDone) {
    this.#listAnswered = this.state.plans;
    this._answered = new Map(this._answered).set(revision.planId, revision);
    this.#toCard(revision.planId);
    this._said = said;
  }

  readonly #onFile = async () => {
    const chosen = this._file?.files?.[0];
    const { client } = this;
    if (!chosen || !client || this._isBusy) return;
    this._isBusy = true;
    this._refusal = "";
    try {
      const read = await readCardFile(chosen);
      if (read.ok) {
        const revision = await importCard(client, read.file);
        this.#take({ revision, said: words.imported(revision.plan.name) });
      } else this._refusal = read.line;
    } catch (error) {
      this._refusal = refusalLine(error);
    } finally {
      this._isBusy = false;
      if (this._file) this._file.value = "";
    }
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-plans": KioskPlans;
  }
  interface HTMLElementEventMap {
    "card-done": CustomEvent<CardDone>;
    "view-wanted": CustomEvent<CardView>;
  }
}
