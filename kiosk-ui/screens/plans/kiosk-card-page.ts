import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import type { WorthSettings } from "#core/plan/adaptation-effects";
import type { AdaptationCondition } from "#core/plan/card";
import "#kiosk-ui/chart/kiosk-trace-chart";
import { act } from "#kiosk-ui/components/kiosk-action";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import { caseText } from "#kiosk-ui/components/case-text";
import { conditionText } from "#kiosk-ui/components/condition-text";
import { planTable } from "#kiosk-ui/components/plan-facts";
import { dayText, type TemperatureUnit, temperatureWithUnit, timeOfDayText } from "#kiosk-ui/format";
import { initialKioskState, type KioskState, openBakeOf } from "#kiosk-ui/kiosk-state";
import {
  adaptationAlone,
  isOtherCooling,
  materialOf,
  USUAL_CASE,
  worthSettingsOf,
} from "#kiosk-ui/screens/plans/adaptation-alone";
import { cardRemarks } from "#kiosk-ui/screens/plans/card-conflicts";
import { changeText } from "#kiosk-ui/screens/plans/change-text";
import type { CardDone, CardView } from "#kiosk-ui/screens/plans/kiosk-plans";
import "#kiosk-ui/screens/plans/kiosk-text-field";
import type { KioskTextField } from "#kiosk-ui/screens/plans/kiosk-text-field";
import {
  cardFilePath,
  copyCard,
  type PlanDesk,
  refusalLine,
  retireCard,
} from "#kiosk-ui/screens/plans/plan-desk";
import { plansStyles } from "#kiosk-ui/screens/plans/plans-styles";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { worthRows } from "#kiosk-ui/screens/plans/worth-text";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Adaptation, PlanRevision } from "#shared/plan";

const words = plansWords.card;
const KINDS: readonly AdaptationCondition["kind"][] = ["framework", "case-size", "bake", "furnace"];

/**
 * A card: its curve and base numbers, what changes when and what that does, limits, material, and what can be
 * done with it.
 * @slot - the ways back to what runs
 * @fires closed {CustomEvent} back to the list
 * @fires view-wanted {CustomEvent<CardView>} what-if, editing or revisions
 * @fires card-done {CustomEvent<CardDone>} a copy was made, or it was retired or brought back
 */
@customElement("kiosk-card-page")
export class KioskCardPage extends LitElement {
  /** The newest revision of the card. */
  @property({ attribute: false }) revision: PlanRevision | null = null;
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon. */
  @property({ attribute: false }) client: PlanDesk | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** What was just done, in one line. */
  @property() said = "";

  @state() private _isBusy = false;
  @state() private _refusal = "";
  @query("kiosk-text-field") private _copyName: KioskTextField | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    plansStyles,
    css`
      kiosk-trace-chart {
        display: flex;
      }
      .when {
        font-size: var(--text-body);
      }
      .adaptation {
        margin-top: var(--space-2);
      }
      .adaptation + .adaptation {
        margin-top: var(--space-3);
      }
      h3 {
        margin-top: var(--space-3);
      }
      .figure {
        white-space: nowrap;
      }
      .effects {
        font-size: var(--text-label);
      }
      .basis {
        margin-top: 2px;
        font-size: var(--text-caption);
        color: var(--color-ink-soft);
      }
      /* Beside five buttons there is no room; the list says it, too. */
      @media (min-width: 701px) and (max-width: 1100px) {
        .said.tight {
          display: none;
        }
      }
      .whole {
        display: block;
        white-space: nowrap;
      }
      .more button,
      .more a {
        flex: 1 1 calc(50% - var(--touch-gap));
      }
      a.button {
        display: grid;
        align-content: center;
        min-height: var(--touch-target);
        padding: 0 var(--space-4);
        border: 2px solid var(--color-press);
        border-radius: var(--radius-button);
        color: var(--color-press);
        font-weight: var(--weight-strong);
        text-align: center;
        text-decoration: none;
      }
    `,
  ];

  protected override render() {
    const { revision } = this;
    if (!revision) return nothing;
    const { plan } = revision;
    return html`
      <div class="head">
        <h1>${plan.name}</h1>
        <p class="soft">${this.#aboutText(revision)}</p>
        <p class="done" role="status">${this.said}</p>
      </div>
      <div class="columns">
        <section class="sheet pane" aria-label=${words.numbers}>
          <kiosk-trace-chart class="curve" .plan=${plan} .samples=${[]} .unit=${this.unit}></kiosk-trace-chart>
          <dl class="facts">
            ${planTable(plan, this.unit).map(
              ([word, value]) => html`<div><dt>${word}</dt><dd>${value}</dd></div>`,
            )}
          </dl>
        </section>
        <kiosk-scroll label=${words.changes}>
          <div class="sheet sections">
            ${this.#renderFindings(revision)} ${this.#renderChanges(revision)} ${this.#renderLimits(revision)}
            ${this.#renderMaterial(revision)} ${this.#renderNotes(revision)} ${this.#renderMore(revision)}
          </div>
        </kiosk-scroll>
      </div>
      <kiosk-foot>
        <div class="foot-left">
          <slot></slot>
          ${this.#renderSaid()}
        </div>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>${plansWords.back}</button>
        <button slot="actions" @click=${() => this.#want("edit")}>${words.change}</button>
        <button slot="actions" @click=${() => this.#want("what-if")}>${words.whatIf}</button>
        ${this.#renderBegin(revision)}
      </kiosk-foot>
    `;
  }

  /** Beside the ways back there is no room for what is said always. */
  #renderSaid() {
    const { furnaces, openBakes } = this.state;
    if (furnaces.length > 0 && this.#freeFurnaces.length === 0)
      return html`<p class="said">${words.busy}</p>`;
    const isTight = this.#freeFurnaces.length > 1 && !this.revision?.isRetired;
    return openBakes.length === 0
      ? html`<p class="said ${isTight ? "tight" : ""}">${plansWords.first}</p>`
      : nothing;
  }

  #aboutText({ revision, savedAtEpochMilliseconds: at, isDemonstration, isRetired }: PlanRevision): string {
    return [
      words.revision(revision, `${dayText(at)} ${timeOfDayText(at)}`),
      ...(isDemonstration ? [plansWords.list.demonstration] : []),
      ...(isRetired ? [plansWords.list.retired] : []),
    ].join(" · ");
  }

  #renderFindings(revision: PlanRevision) {
    const material = materialOf(revision, this.state.materials)?.material ?? null;
    const remarks = cardRemarks(revision, material);
    if (remarks.length === 0) return nothing;
    return html`<section class="needs">
      <h2>${words.findings}</h2>
      ${remarks.map((sentence) => html`<p class="label">${sentence}</p>`)}
    </section>`;
  }

  #renderChanges(revision: PlanRevision) {
    const { adaptations } = revision;
    const settings = worthSettingsOf(revision, this.state.materials);
    return html`<section>
      <h2>${words.changes}</h2>
      ${
        adaptations.length === 0
          ? html`<p class="label soft">${words.noChanges}</p>`
          : html`<p class="caption soft">
              ${words.reckoned(caseText(USUAL_CASE))} ${isOneBasis(adaptations) ? basisText(adaptations[0]) : nothing}
            </p>`
      }
      ${KINDS.map((kind) => {
        const group = adaptations.filter(({ when }) => when.kind === kind);
        if (group.length === 0) return nothing;
        return html`<h3>${plansWords.groups[kind]}</h3>
          ${group.map((adaptation) => this.#renderAdaptation(revision, adaptation, settings))}`;
      })}
    </section>`;
  }

  #renderAdaptation(revision: PlanRevision, adaptation: Adaptation, settings: WorthSettings) {
    const effect = adaptationAlone(revision, adaptation, settings);
    const furnaces = this.state.furnaces.map(({ furnace }) => furnace);
    const changes = adaptation.changes.map((change) => changeText(change, this.unit)).join(", ");
    return html`<div class="adaptation">
      <p class="when"><strong>${capitalised(conditionText(adaptation.when, furnaces))}:</strong> ${changes}</p>
      ${
        effect
          ? html`<p class="effects">
              ${worthRows(effect.before, effect.after).map(
                ({ briefName, change }, index) =>
                  html`${index > 0 ? ", " : ""}<span class="soft">${briefName}</span>
                    <strong class="figure">${change}</strong>`,
              )}
            </p>
            ${isOtherCooling(revision, adaptation) ? html`<p class="basis">${plansWords.worth.otherCooling}</p>` : nothing}`
          : html`<p class="label needs">${words.invalid}</p>`
      }
      ${isOneBasis(revision.adaptations) ? nothing : html`<p class="basis">${basisText(adaptation)}</p>`}
    </div>`;
  }

  #renderLimits({ limits }: PlanRevision) {
    if (limits.length === 0) return nothing;
    return html`<section>
      <h2>${words.limits}</h2>
      <p class="label">
        ${limits
          .map(
            ({ framework, topCelsius }) =>
              `${plansWords.frameworks[framework]} ${temperatureWithUnit(topCelsius, this.unit)}`,
          )
          .join(" · ")}
      </p>
    </section>`;
  }

  #renderMaterial(revision: PlanRevision) {
    const material = materialOf(revision, this.state.materials);
    const { materials } = plansWords;
    return html`<section>
      <h2>${words.material}</h2>
      ${
        material
          ? html`<p class="label">
              ${material.material.name} <span class="soft">${materials.origins[material.material.origin.kind]}</span>
            </p>`
          : html`<p class="label soft">${revision.materialId === null ? words.noMaterial : words.missingMaterial}</p>`
      }
    </section>`;
  }

  #renderNotes({ plan: { notes } }: PlanRevision) {
    return notes ? html`<section><h2>${words.notes}</h2><p class="label">${notes}</p></section>` : nothing;
  }

  #renderMore(revision: PlanRevision) {
    const { isRetired, planId, plan } = revision;
    return html`<section class="more">
      <h2>${words.more}</h2>
      ${isRetired ? html`<p class="label soft">${words.retired}</p>` : nothing}
      ${this._refusal ? html`<p class="refusal" role="alert">${this._refusal}</p>` : nothing}
      <div class="row">
        <button @click=${() => this.#want("revisions")}>${words.revisions}</button>
        <button ?disabled=${this._isBusy} @click=${() => this._copyName?.open()}>${words.copy}</button>
        <a class="button" href=${cardFilePath(planId)} download>${words.exportFile}</a>
        <button ?disabled=${this._isBusy} @click=${() => this.#retire(!isRetired)}>
          ${isRetired ? words.bringBack : words.retire}
        </button>
      </div>
      <kiosk-text-field
        class="behind"
        isBehind
        isRequired
        .label=${words.nameOfCopy}
        .value=${words.copyName(plan.name).slice(0, 80)}
        @value-changed=${(event: CustomEvent<string>) => this.#copy(event.detail)}
      ></kiosk-text-field>
    </section>`;
  }

  #renderBegin({ planId, isRetired }: PlanRevision) {
    if (isRetired) return nothing;
    const isOnly = this.state.furnaces.length === 1;
    return this.#freeFurnaces.map(
      ({ furnace }) =>
        html`<button
          slot="actions"
          class="act main"
          @click=${() => act(this, { kind: "prepare", furnaceId: furnace.id, planId })}
        >
          ${isOnly ? words.begin : html`${words.beginOn} <span class="whole">${furnace.name}</span>`}
        </button>`,
    );
  }

  get #freeFurnaces() {
    return this.state.furnaces.filter(({ furnace }) => openBakeOf(this.state, furnace.id) === null);
  }

  #want(view: CardView) {
    this.dispatchEvent(new CustomEvent("view-wanted", { detail: view }));
  }

  #copy(name: string) {
    const planId = this.revision?.planId;
    if (planId !== undefined) void this.#do((client) => copyCard(client, planId, name), words.copied);
  }

  #retire(isRetired: boolean) {
    const planId = this.revision?.planId;
    // the head says that it is retired
    const said = isRetired ? "" : words.isBack;
    if (planId !== undefined) void this.#do((client) => retireCard(client, planId, isRetired), said);
  }

  async #do(ask: (client: PlanDesk) => Promise<PlanRevision>, said: string) {
    if (!this.client || this._isBusy) return;
    this._isBusy = true;
    this._refusal = "";
    try {
      const detail: CardDone = { revision: await ask(this.client), said };
      if (this.isConnected) this.dispatchEvent(new CustomEvent("card-done", { detail }));
    } catch (error) {
      this._refusal = refusalLine(error);
    } finally {
      this._isBusy = false;
    }
  }
}

/** True where all adaptations rest on the same, which is then said once. */
function isOneBasis(adaptations: readonly Adaptation[]): boolean {
  return new Set(adaptations.map(({ basis }) => basis ?? "")).size === 1;
}

function basisText(adaptation: Adaptation | undefined): string {
  return adaptation?.basis ? words.basis(adaptation.basis) : words.noBasis;
}

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-card-page": KioskCardPage;
  }
}
