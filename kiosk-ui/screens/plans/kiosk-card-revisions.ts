import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { planWorth } from "#core/plan/adaptation-effects";
import { topCelsius } from "#core/plan/plan";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import { planTable } from "#kiosk-ui/components/plan-facts";
import { dayText, type TemperatureUnit, timeOfDayText } from "#kiosk-ui/format";
import { initialKioskState, type KioskState } from "#kiosk-ui/kiosk-state";
import { USUAL_CASE, worthSettingsOf } from "#kiosk-ui/screens/plans/adaptation-alone";
import { cardDifferences, type DifferenceNames } from "#kiosk-ui/screens/plans/card-differences";
import { draftOf } from "#kiosk-ui/screens/plans/card-draft";
import "#kiosk-ui/screens/plans/kiosk-plan-curve";
import type { CardDone } from "#kiosk-ui/screens/plans/kiosk-plans";
import { cardRevisions, type PlanDesk, refusalLine, saveCard } from "#kiosk-ui/screens/plans/plan-desk";
import { plansStyles } from "#kiosk-ui/screens/plans/plans-styles";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { worthChangeText } from "#kiosk-ui/screens/plans/worth-text";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { PlanRevision } from "#shared/plan";

const words = plansWords.revisions;

/** The revisions: on their way, here, or refused with one line. */
type AskedRevisions =
  | { readonly kind: "loading" }
  | { readonly kind: "ready"; readonly revisions: readonly PlanRevision[] }
  | { readonly kind: "failed"; readonly message: string };

/**
 * Every revision of a card with what changed in words; an old one beside the newest, and the way to make it the
 * newest again.
 * @slot - the ways back to what runs
 * @fires card-done {CustomEvent<CardDone>} an old revision is the newest again
 * @fires closed {CustomEvent} back to the card
 */
@customElement("kiosk-card-revisions")
export class KioskCardRevisions extends LitElement {
  /** The newest revision of the card. */
  @property({ attribute: false }) newest: PlanRevision | null = null;
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon. */
  @property({ attribute: false }) client: PlanDesk | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _asked: AskedRevisions = { kind: "loading" };
  @state() private _chosen: number | null = null;
  @state() private _isBusy = false;
  @state() private _refusal = "";

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    plansStyles,
    css`
      .columns {
        grid-template-columns: minmax(0, 1fr) minmax(0, 1.2fr);
      }
      .list {
        display: grid;
        gap: var(--space-2);
      }
      .list button {
        width: 100%;
        padding: var(--space-2) var(--space-4);
        border-color: transparent;
        color: var(--color-ink);
        text-align: left;
      }
      .list span {
        display: block;
        margin-top: 2px;
        font-size: var(--text-label);
        font-weight: var(--weight-text);
        color: var(--color-ink-soft);
      }
      .list button[aria-pressed="true"],
      .list button[aria-pressed="true"] span {
        color: var(--color-on-press);
      }
      .opened > .curve {
        flex: none;
        height: 290px;
      }
      .against {
        font-size: var(--text-label);
      }
      .against li {
        margin-top: 2px;
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>) {
    const before = changed.get("newest");
    const isNewer = changed.has("newest") && before?.revision !== this.newest?.revision;
    if (changed.has("client") || isNewer) void this.#ask();
  }

  protected override render() {
    const { newest } = this;
    if (!newest) return nothing;
    return html`
      <div class="head"><h1>${words.title(newest.plan.name)}</h1></div>
      ${this.#renderAsked(newest)}
      <kiosk-foot>
        <div class="foot-left">
          <slot></slot>
          ${
            this._refusal
              ? html`<p class="said refusal" role="alert">${this._refusal}</p>`
              : html`<p class="said">${this.#old(newest) ? words.makeNewestHelp(newest.revision + 1) : ""}</p>`
          }
        </div>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>${plansWords.back}</button>
        ${
          this.#old(newest)
            ? html`<button slot="actions" class="act main" ?disabled=${this._isBusy} @click=${this.#makeNewest}>
                ${words.makeNewest}
              </button>`
            : nothing
        }
      </kiosk-foot>
    `;
  }

  #renderAsked(newest: PlanRevision) {
    const asked = this._asked;
    if (asked.kind === "loading")
      return html`<div class="sheet state"><p class="soft" role="status">${plansWords.asking}</p></div>`;
    if (asked.kind === "failed")
      return html`<div class="sheet state">
        <h2>${words.failed}</h2>
        <p role="alert">${asked.message}</p>
        <button @click=${() => this.#ask()}>${plansWords.again}</button>
      </div>`;
    return html`<div class="columns">
      <kiosk-scroll label=${words.title(newest.plan.name)}>
        <ul class="list">
          ${asked.revisions.map((revision, index) =>
            this.#renderRow(revision, asked.revisions[index + 1], index === 0),
          )}
        </ul>
      </kiosk-scroll>
      ${this.#renderOpened(asked.revisions.find(({ revision }) => revision === this._chosen) ?? newest, newest)}
    </div>`;
  }

  #renderRow(revision: PlanRevision, before: PlanRevision | undefined, isNewest: boolean) {
    const chosen = this._chosen ?? this.newest?.revision;
    const changed = before ? cardDifferences(before, revision, this.#names) : [words.first];
    return html`<li>
      <button
        aria-pressed=${revision.revision === chosen}
        @click=${() => {
          this._chosen = revision.revision;
        }}
      >
        ${savedText(revision)}${isNewest ? `, ${words.newest}` : ""}
        <span>${changed.length === 0 ? words.nothing : changed.join("; ")}</span>
        ${before ? html`<span>${this.#worthText(before, revision)}</span>` : nothing}
      </button>
    </li>`;
  }

  /** What the other numbers of the base plan do to its heat work; nothing where they are the same. */
  #worthText(before: PlanRevision, after: PlanRevision): string {
    const settings = worthSettingsOf(after, this.state.materials);
    const worth = ({ plan }: PlanRevision) => planWorth(plan, topCelsius(before.plan), USUAL_CASE, settings);
    const numbers = ({ plan }: PlanRevision) => JSON.stringify({ ...plan, name: "", notes: "" });
    return numbers(before) === numbers(after) ? "" : worthChangeText(worth(before), worth(after));
  }

  #renderOpened(revision: PlanRevision, newest: PlanRevision) {
    const isOld = revision.revision !== newest.revision;
    const against = isOld ? cardDifferences(newest, revision, this.#names) : [];
    return html`<kiosk-scroll label=${savedText(revision)}>
      <div class="sheet pane opened">
        <kiosk-plan-curve
          class="curve"
          .plan=${revision.plan}
          .base=${isOld ? newest.plan : null}
          .planName=${isOld ? words.curveThis(revision.revision) : words.curveNewest}
          .baseName=${words.curveNewest}
          .unit=${this.unit}
        ></kiosk-plan-curve>
        ${
          isOld
            ? html`<div class="against">
                <p class="soft">${words.against(newest.revision)}</p>
                <ul>${(against.length === 0 ? [words.nothing] : against).map((line) => html`<li>${line}</li>`)}</ul>
                <p class="soft">${this.#worthText(newest, revision)}</p>
              </div>`
            : nothing
        }
        <dl class="facts">
          ${planTable(revision.plan, this.unit).map(
            ([word, value]) => html`<div><dt>${word}</dt><dd>${value}</dd></div>`,
          )}
        </dl>
      </div>
    </kiosk-scroll>`;
  }

  get #names(): DifferenceNames {
    return {
      unit: this.unit,
      furnaces: this.state.furnaces.map(({ furnace }) => furnace),
      material: (materialId) =>
        this.state.materials.find((material) => material.materialId === materialId)?.material.name ??
        String(materialId),
    };
  }

  /** The chosen revision where it is not the newest. */
  #old(newest: PlanRevision): PlanRevision | null {
    if (this._asked.kind !== "ready" || this._chosen === null || this._chosen === newest.revision)
      return null;
    return this._asked.revisions.find(({ revision }) => revision === this._chosen) ?? null;
  }

  async #ask() {
    const { client, newest } = this;
    if (!client || !newest) return;
    try {
      this._asked = { kind: "ready", revisions: await cardRevisions(client, newest.planId) };
    } catch (error) {
      this._asked = { kind: "failed", message: refusalLine(error) };
    }
  }

  readonly #makeNewest = async () => {
    const { client, newest } = this;
    const old = newest && this.#old(newest);
    if (!client || !old || this._isBusy) return;
    this._isBusy = true;
    this._refusal = "";
    try {
      const revision = await saveCard(client, old.planId, draftOf(old));
      const detail: CardDone = { revision, said: words.made(old.revision, revision.revision) };
      if (this.isConnected) this.dispatchEvent(new CustomEvent("card-done", { detail }));
    } catch (error) {
      this._refusal = refusalLine(error);
    } finally {
      this._isBusy = false;
    }
  };
}

function savedText({ revision, savedAtEpochMilliseconds: at }: PlanRevision): string {
  return words.saved(revision, `${dayText(at)} ${timeOfDayText(at)}`);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-card-revisions": KioskCardRevisions;
  }
}
