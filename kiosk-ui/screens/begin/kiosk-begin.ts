import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { USUAL_FREE_COOLING_KELVIN_PER_MINUTE } from "#core/heat/layer-ledger";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-sentence";
import "#kiosk-ui/screens/begin/kiosk-begin-case";
import "#kiosk-ui/screens/begin/kiosk-begin-plan";
import type { Preparation } from "#kiosk-ui/components/kiosk-action";
import { Scanner } from "#kiosk-ui/components/scanner";
import type { TemperatureUnit } from "#kiosk-ui/format";
import type { BakeInView } from "#kiosk-ui/kiosk-state";
import {
  type BeginDraft,
  beginRequest,
  type CaseInPart,
  chosenAfter,
  emptyDraft,
  wholeCase,
  withLayerToggled,
} from "#kiosk-ui/screens/begin/begin-draft";
import {
  type BeginSentence,
  caseSentence,
  changedSentence,
  planSentence,
} from "#kiosk-ui/screens/begin/begin-sentence";
import {
  type BeginGround,
  type BeginView,
  beginView,
  fittedInView,
} from "#kiosk-ui/screens/begin/begin-view";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import { cardChoice } from "#kiosk-ui/screens/begin/card-choice";
import type { FittedCard } from "#kiosk-ui/screens/begin/fitted-card";
import type { BeginDesk, JobHistory } from "#kiosk-ui/screens/begin/job-history";
import { JobLookUp } from "#kiosk-ui/screens/begin/job-look-up";
import { keepLastBegun, keptLastBegun, type LastBegun } from "#kiosk-ui/screens/begin/last-begun";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { jobNumberSchema } from "#shared/bake";
import type { BakeCase } from "#shared/bake-case";
import type { MaterialRevision } from "#shared/material";
import type { PlanRevision } from "#shared/plan";
import { experienceSchema, type FurnaceExperience } from "#shared/requests";

/**
 * Begins a bake, or gives an open one its plan and job, in two steps: what goes in, then the plan that the card
 * gives for it. Where this page has begun on the furnace before, it opens with the plan for the same again.
 * @fires cancelled {CustomEvent} nothing is to be begun
 * @fires chosen {CustomEvent<BeginRequest>} what was confirmed
 */
@customElement("kiosk-begin")
export class KioskBegin extends LitElement {
  /** What is about to be done. */
  @property() heading = "";
  /** What the confirming button says. */
  @property() confirmWord: string = beginWords.confirm;
  /** The daemon, for what a job and a furnace have had; null where nobody can be asked. */
  @property({ attribute: false }) client: BeginDesk | null = null;
  /** The furnace that is begun on. */
  @property() furnaceId = "";
  /** The newest revision of every plan. */
  @property({ attribute: false }) plans: readonly PlanRevision[] = [];
  /** The newest revision of every material. */
  @property({ attribute: false }) materials: readonly MaterialRevision[] = [];
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** A plan chosen elsewhere; null for none. */
  @property({ attribute: false }) planId: number | null = null;
  /** What goes in and the job, where they were chosen elsewhere. */
  @property({ attribute: false }) given: Pick<Preparation, "case" | "job"> = {};
  /** The open bake that is given its plan; null where one is begun. */
  @property({ attribute: false }) openBake: BakeInView | null = null;
  /** True while the daemon has not answered. */
  @property({ type: Boolean }) isBusy = false;

  @state() private _step: "case" | "plan" = "case";
  @state() private _draft: BeginDraft = emptyDraft;
  @state() private _isScanned = false;
  @state() private _experience: FurnaceExperience | null = null;

  readonly #job = new JobLookUp(() => this.requestUpdate());
  #last: LastBegun | null = null;
  /** The card as its numbers were first looked at; null while none is. */
  #lookedAt: Pick<PlanRevision, "planId" | "revision"> | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    css`
      h1:focus {
        outline: none;
      }
      .step {
        margin-left: var(--space-2);
        color: var(--color-ink-soft);
        font-weight: var(--weight-text);
        white-space: nowrap;
      }
      .none {
        padding: var(--space-5);
      }
      @media (max-height: 700px) and (min-width: 701px) {
        :host {
          gap: var(--space-2);
        }
      }
    `,
  ];

  constructor() {
    super();
    new Scanner(this, (scanned) => this.#takeScan(scanned));
  }

  override disconnectedCallback() {
    super.disconnectedCallback();
    this.#job.end();
  }

  protected override willUpdate(_changed: PropertyValues<this>) {
    if (this.hasUpdated) return;
    const { openBake } = this;
    this.#last = keptLastBegun(localStorage, this.furnaceId);
    this._draft = openBake ? draftOf(openBake, this.planId) : givenDraft(this.given, this.planId);
    if (!openBake && (this.given.case || this.#last)) this._step = "plan";
    if (!openBake && !this.given.case) this.#change({ isWithoutCase: this.#last?.case === null });
    void this.#lookUpJob();
    void this.#askForExperience();
  }

  /** Who goes by keyboard begins each step at its top. */
  protected override updated(changed: PropertyValues) {
    const isOtherStep = changed.get("_step") !== undefined;
    if (isOtherStep) this.renderRoot.querySelector("h1")?.focus({ preventScroll: true });
  }

  protected override render() {
    const ground = this.#ground;
    const view = beginView(this._draft, ground);
    const fitted = this._step === "plan" ? fittedInView(view, this._draft, ground) : null;
    return html`
      <h1 tabindex="-1">${this.heading} <span class="step">${beginWords.steps[this._step]}</span></h1>
      ${this._step === "case" ? this.#renderCaseStep(view) : this.#renderPlanStep(view, fitted)}
      ${this._step === "case" ? this.#renderCaseFoot(view) : this.#renderPlanFoot(view, fitted)}
    `;
  }

  #renderCaseStep({ caseInPart }: BeginView) {
    return html`<kiosk-begin-case
      .case=${caseInPart}
      .job=${this._draft.job}
      .history=${this.#history}
      .materials=${this.#offeredMaterials}
      .layers=${this._draft.layers}
      .unit=${this.unit}
      @case-chosen=${({ detail }: CustomEvent<CaseInPart>) => {
        this.#change({
          chosen: chosenAfter(caseInPart, this._draft.chosen, detail),
          isWithoutCase: false,
        });
      }}
      @job-typed=${({ detail }: CustomEvent<string>) => this.#typeJob(detail)}
      @job-entered=${() => void this.#lookUpJob()}
      @layer-toggled=${({ detail }: CustomEvent<MaterialRevision>) => this.#toggleLayer(detail)}
    ></kiosk-begin-case>`;
  }

  #renderCaseFoot({ caseInPart }: BeginView) {
    const bakeCase = wholeCase(caseInPart);
    const isJobFit = this.#isJobFit();
    const { job } = this._draft;
    const known = { job, isJobFit, isScanned: this._isScanned, lookUp: this.#job.state, case: bakeCase };
    return html`<kiosk-foot>
      ${renderSentence(caseSentence(known))}
      <button slot="actions" class="act" @click=${this.#cancel}>${beginWords.cancel}</button>
      ${
        bakeCase
          ? nothing
          : html`<button slot="actions" class="act" ?disabled=${!isJobFit} @click=${() => this.#showPlan(true)}>
              ${beginWords.withoutCase}
            </button>`
      }
      <button
        slot="actions"
        class="act main"
        ?disabled=${!bakeCase || !isJobFit}
        @click=${() => this.#showPlan(false)}
      >
        ${beginWords.toPlan}
      </button>
    </kiosk-foot>`;
  }

  #renderPlanStep({ cards, card, case: bakeCase, goesIn, material }: BeginView, fitted: FittedCard | null) {
    if (!card)
      return html`<div class="sheet none">
        <h2>${beginWords.noPlans}</h2>
        <p class="soft">${beginWords.noPlansHelp}</p>
      </div>`;
    return html`<kiosk-begin-plan
      .goesIn=${goesIn}
      .cards=${cards.map((each) => cardChoice(each, bakeCase, this.furnaceId, this.unit))}
      .card=${card}
      .fitted=${fitted}
      .materialName=${material?.material.name ?? ""}
      .unit=${this.unit}
      @plan-chosen=${({ detail }: CustomEvent<number>) => this.#choosePlan(detail)}
      @case-wanted=${() => {
        this._step = "case";
      }}
    ></kiosk-begin-plan>`;
  }

  #renderPlanFoot({ card, case: bakeCase }: BeginView, fitted: FittedCard | null) {
    const isRefused = !fitted?.ok || fitted.findings.some(({ refuses }) => refuses);
    const isLooking = this.#job.state.kind === "looking";
    return html`<kiosk-foot>
      ${renderSentence(this.#planSentence(card, fitted))}
      <button slot="actions" class="act" @click=${this.#cancel}>${beginWords.cancel}</button>
      <button
        slot="actions"
        class="act main"
        ?disabled=${!card || isRefused || isLooking || this.isBusy}
        @click=${() => card && this.#confirm(card, bakeCase)}
      >
        ${this.isBusy ? beginWords.sending : this.confirmWord}
      </button>
    </kiosk-foot>`;
  }

  #planSentence(card: PlanRevision | null, fitted: FittedCard | null): BeginSentence {
    const said = planSentence(fitted, this.openBake?.bake.state === "running");
    if (card?.planId !== this.#lookedAt?.planId) this.#lookedAt = card;
    return card && card.revision !== this.#lookedAt?.revision ? changedSentence(said, card.revision) : said;
  }

  get #history(): JobHistory | null {
    const { state } = this.#job;
    return state.kind === "found" ? state.history : null;
  }

  get #ground(): BeginGround {
    const { furnaceId, plans, materials, unit } = this;
    const { fastestClimbKelvinPerMinute = null, coolingKelvinPerMinute = null } = this._experience ?? {};
    return {
      furnaceId,
      plans,
      materials,
      unit,
      history: this.#history,
      last: this.#last,
      fastestClimbKelvinPerMinute,
      coolingKelvinPerMinute: coolingKelvinPerMinute ?? USUAL_FREE_COOLING_KELVIN_PER_MINUTE,
    };
  }

  get #offeredMaterials() {
    const isOn = (id: number) => this._draft.layers.some(({ materialId }) => materialId === id);
    return this.materials.filter(({ materialId, isRetired }) => !isRetired || isOn(materialId));
  }

  #isJobFit() {
    return this._draft.job.trim() === "" || jobNumberSchema.safeParse(this._draft.job).success;
  }

  #change(changes: Partial<BeginDraft>) {
    this._draft = { ...this._draft, ...changes };
  }

  /** Whoever chooses a card has its numbers before them as they are now. */
  #choosePlan(planId: number) {
    this.#lookedAt = null;
    this.#change({ planId });
  }

  #typeJob(job: string) {
    this.#change({ job });
    this._isScanned = false;
    this.#job.typed(this.client, job, this.openBake?.bake.id ?? null);
  }

  /** A scanned job may change what is proposed: then what goes in is looked at first. */
  #takeScan(job: string) {
    this.#change({ job, isWithoutCase: false });
    this._isScanned = true;
    this._step = "case";
    void this.#lookUpJob();
  }

  #toggleLayer(revision: MaterialRevision) {
    const taken = this.#history?.layers.map(({ name }) => name) ?? [];
    this.#change({ layers: withLayerToggled(this._draft.layers, revision, taken) });
  }

  #lookUpJob() {
    return this.#job.lookUp(this.client, this._draft.job, this.openBake?.bake.id ?? null);
  }

  #showPlan(isWithoutCase: boolean) {
    this.#lookedAt = null;
    this.#change({ isWithoutCase });
    this._step = "plan";
    void this.#lookUpJob();
  }

  /** What the furnace has managed; without an answer no plan is called too fast. */
  async #askForExperience() {
    const path = `/api/furnaces/${this.furnaceId}/experience`;
    this._experience = (await this.client?.ask(path, experienceSchema).catch(() => null)) ?? null;
  }

  readonly #cancel = () => {
    this.dispatchEvent(new CustomEvent("cancelled"));
  };

  #confirm(card: PlanRevision, bakeCase: BakeCase | null) {
    keepLastBegun(localStorage, this.furnaceId, { case: bakeCase, planId: card.planId });
    const detail = beginRequest(this._draft, bakeCase, card);
    this.dispatchEvent(new CustomEvent("chosen", { detail }));
  }
}

function renderSentence({ text, detail, needsPerson }: BeginSentence) {
  return html`<kiosk-sentence .text=${text} .detail=${detail} .needsPerson=${needsPerson}></kiosk-sentence>`;
}

/** What was chosen before. */
function givenDraft(given: Pick<Preparation, "case" | "job">, planId: number | null): BeginDraft {
  return { ...emptyDraft, job: given.job ?? "", chosen: given.case ?? {}, planId };
}

/** What an open bake is known to be. */
function draftOf({ bake, layers }: BakeInView, planId: number | null): BeginDraft {
  return {
    job: bake.jobNumber ?? "",
    chosen: bake.case ?? {},
    isWithoutCase: false,
    layers: layers.map(({ name, material }) => ({ name, materialId: material.materialId })),
    planId,
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-begin": KioskBegin;
  }
}
