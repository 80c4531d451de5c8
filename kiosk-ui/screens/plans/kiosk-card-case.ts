import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { USUAL_FREE_COOLING_KELVIN_PER_MINUTE } from "#core/heat/layer-ledger";
import { type EffectivePlan, effectivePlan } from "#core/plan/adapt";
import { adaptationEffects } from "#core/plan/adaptation-effects";
import { BAKE_ORDINALS, type BakeCase, CASE_SIZES, FRAMEWORKS } from "#core/plan/bake-case";
import { caseFindings } from "#core/plan/case-findings";
import { type Plan, topCelsius } from "#core/plan/plan";
import { act } from "#kiosk-ui/components/kiosk-action";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import { Scanner } from "#kiosk-ui/components/scanner";
import { durationText, numberText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { initialKioskState, type KioskState, openBakeOf } from "#kiosk-ui/kiosk-state";
import "#kiosk-ui/screens/past-bakes/kiosk-choice";
import "#kiosk-ui/screens/past-bakes/kiosk-job-field";
import { materialOf, USUAL_CASE, worthSettingsOf } from "#kiosk-ui/screens/plans/adaptation-alone";
import { asSentence, withFurnaceNames } from "#kiosk-ui/screens/plans/card-conflicts";
import { jobLayers } from "#kiosk-ui/screens/plans/job-layers";
import type { FurnaceExperience } from "#shared/requests";
import "#kiosk-ui/screens/plans/kiosk-choices";
import "#kiosk-ui/screens/plans/kiosk-plan-curve";
import { sourceLines } from "#kiosk-ui/screens/plans/number-sources";
import { furnaceExperience, type PlanDesk, refusalLine } from "#kiosk-ui/screens/plans/plan-desk";
import { plansStyles } from "#kiosk-ui/screens/plans/plans-styles";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { worthTable } from "#kiosk-ui/screens/plans/worth-table";
import { percentChangeText } from "#kiosk-ui/screens/plans/worth-text";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { type JobLedger, jobLedgerSchema } from "#shared/layer";
import type { PlanRevision } from "#shared/plan";

const words = plansWords.whatIf;
/** The value of the choice that no furnace is meant. */
const ANY = "";

/** A job's layers: not asked for, on their way, here, or refused with one line. */
type AskedLedger =
  | { readonly kind: "none" | "loading" }
  | { readonly kind: "ready"; readonly ledger: JobLedger }
  | { readonly kind: "failed"; readonly message: string };

/**
 * What a card gives for a case: framework, size, bake and furnace by taps; the fitted curve over the card's own,
 * where each number came from, what each change is worth, and what the layers of a job would have afterwards.
 * @slot - the ways back to what runs
 * @fires closed {CustomEvent} back to the card
 */
@customElement("kiosk-card-case")
export class KioskCardCase extends LitElement {
  /** The newest revision of the card. */
  @property({ attribute: false }) revision: PlanRevision | null = null;
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon. */
  @property({ attribute: false }) client: PlanDesk | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _case: BakeCase = USUAL_CASE;
  @state() private _furnaceId = ANY;
  @state() private _experience: FurnaceExperience | null = null;
  @state() private _job = "";
  @state() private _ledger: AskedLedger = { kind: "none" };

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    plansStyles,
    css`
      :host {
        grid-template-rows: auto auto minmax(0, 1fr) auto;
      }
      .pickers {
        display: grid;
        grid-template-columns: auto auto auto;
        gap: var(--touch-gap);
      }
      .openers {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: var(--space-2);
      }
      .openers > * {
        min-height: var(--touch-target);
      }
      .columns {
        grid-template-columns: minmax(0, 1.05fr) minmax(430px, 1fr);
      }
      .sources {
        display: grid;
        gap: var(--space-2);
      }
      .sources li {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        gap: 0 var(--space-3);
        align-items: baseline;
      }
      .sources strong {
        text-align: right;
      }
      .sources p {
        grid-column: 1 / -1;
        font-size: var(--text-caption);
        color: var(--color-ink-soft);
      }
      .side-short,
      .side-excess {
        font-weight: var(--weight-strong);
      }
      .whole {
        display: block;
        white-space: nowrap;
      }
      .note {
        margin-top: var(--space-2);
      }
      @media (max-height: 700px) and (min-width: 701px) {
        :host {
          gap: var(--space-2);
        }
        .pane {
          padding-block: var(--space-2);
        }
        .pane > .curve {
          min-height: 0;
        }
      }
      @media (max-width: 700px) {
        .pickers {
          grid-template-columns: minmax(0, 1fr);
        }
      }
    `,
  ];

  constructor() {
    super();
    new Scanner(this, (scanned) => this.#setJob(scanned));
  }

  protected override willUpdate(changed: PropertyValues<this>) {
    const only = this.state.furnaces.length === 1 ? this.state.furnaces[0] : undefined;
    if (!this.hasUpdated && only) this.#setFurnace(only.furnace.id);
    else if (changed.has("client") && this._furnaceId !== ANY) this.#setFurnace(this._furnaceId);
  }

  protected override render() {
    const { revision } = this;
    if (!revision) return nothing;
    const fitted = effectivePlan(revision, this._case, this._furnaceId || null);
    return html`
      <div class="head">
        <h1>${words.title(revision.plan.name)}</h1>
        <p class="soft" role="status">${fitted.ok ? this.#summary(revision, fitted.plan) : nothing}</p>
      </div>
      ${this.#renderPickers()}
      <div class="columns">
        <section class="sheet pane">
          <kiosk-plan-curve
            class="curve"
            .plan=${fitted.ok ? fitted.plan : revision.plan}
            .base=${fitted.ok && isChanged(fitted) ? revision.plan : null}
            .planName=${this.#curveName(fitted)}
            .baseName=${words.curveBase}
            .unit=${this.unit}
            .activationEnergyJoulesPerMole=${this.#settings.activationEnergyJoulesPerMole}
          ></kiosk-plan-curve>
        </section>
        <kiosk-scroll label=${words.sources}>
          <div class="sheet sections">
            ${this.#renderRemarks(revision, fitted)} ${this.#renderOpeners()}
            ${fitted.ok ? this.#renderFitted(revision, fitted) : nothing}
          </div>
        </kiosk-scroll>
      </div>
      <kiosk-foot>
        <div class="foot-left">
          <slot></slot>
          ${this.#renderSaid()}
        </div>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>${plansWords.back}</button>
        ${fitted.ok && !revision.isRetired ? this.#renderBegin(revision.planId) : nothing}
      </kiosk-foot>
    `;
  }

  #curveName(fitted: EffectivePlan): string {
    if (!fitted.ok) return words.curveBase;
    return isChanged(fitted) ? words.curveFitted : words.curveSame;
  }

  #renderPickers() {
    const { framework, caseSize, bake } = this._case;
    const pick = <Key extends keyof BakeCase>(
      key: Key,
      label: string,
      values: readonly BakeCase[Key][],
      names: Readonly<Record<BakeCase[Key], string>>,
      value: BakeCase[Key],
    ) =>
      html`<kiosk-choices
        isRow
        .label=${label}
        .value=${value}
        .choices=${values.map((one) => ({ value: one, name: names[one] }))}
        @choice-made=${(event: CustomEvent<BakeCase[Key]>) => {
          this._case = { ...this._case, [key]: event.detail };
        }}
      ></kiosk-choices>`;
    return html`<div class="pickers">
      ${pick("framework", words.framework, FRAMEWORKS, plansWords.frameworks, framework)}
      ${pick("caseSize", words.size, CASE_SIZES, plansWords.sizes, caseSize)}
      ${pick("bake", words.bake, BAKE_ORDINALS, plansWords.bakes, bake)}
    </div>`;
  }

  #renderOpeners() {
    const furnaces = this.#furnaces.map(({ id, name }) => ({ value: id, name }));
    return html`<div class="openers">
      <kiosk-choice
        .label=${words.furnace}
        .value=${this._furnaceId}
        .choices=${[{ value: ANY, name: words.anyFurnace }, ...furnaces]}
        @choice-made=${(event: CustomEvent<string>) => this.#setFurnace(event.detail)}
      ></kiosk-choice>
      <kiosk-job-field
        .label=${words.job}
        .value=${this._job}
        .none=${words.noJob}
        .confirm=${words.showLayers}
        @job-entered=${(event: CustomEvent<string>) => this.#setJob(event.detail)}
      ></kiosk-job-field>
    </div>`;
  }

  /** What is in the way of the plan, or is to be looked at in it. */
  #renderRemarks(revision: PlanRevision, fitted: EffectivePlan) {
    const remarks = fitted.ok
      ? caseFindings(fitted.plan, {
          card: revision,
          bakeCase: this._case,
          material: this.#material,
          fastestClimbKelvinPerMinute: this._experience?.fastestClimbKelvinPerMinute ?? null,
        })
      : fitted.refusals;
    if (remarks.length === 0) return nothing;
    return html`<section class="needs">
      <h2>${fitted.ok ? plansWords.card.findings : words.conflict}</h2>
      ${remarks.map(({ sentence }) => html`<p class="label">${withFurnaceNames(asSentence(sentence), this.#furnaces)}</p>`)}
    </section>`;
  }

  /** Beside the ways back there is no room for what is said always. */
  #renderSaid() {
    if (this.state.openBakes.length > 0) return nothing;
    return html`<p class="said">${plansWords.first}</p>`;
  }

  #summary(revision: PlanRevision, plan: Plan): string {
    const effects = adaptationEffects(revision, this._case, this._furnaceId || null, this.#settings);
    const change = effects
      ? percentChangeText(effects.base.chamberEquivalentSeconds, effects.effective.chamberEquivalentSeconds)
      : plansWords.worth.unknown;
    const heatWork = change === plansWords.worth.same ? words.asBase : words.againstBase(change);
    const length = durationText(effects?.effective.lengthSeconds ?? 0);
    return words.summary(temperatureWithUnit(topCelsius(plan), this.unit), length, heatWork);
  }

  #renderFitted(revision: PlanRevision, fitted: Extract<EffectivePlan, { ok: true }>) {
    return html`
      ${this.#renderLayers(fitted.plan)} ${this.#renderSources(fitted)} ${this.#renderWorth(revision)}
    `;
  }

  #renderSources({ sources }: Extract<EffectivePlan, { ok: true }>) {
    const lines = sourceLines(sources, this.#furnaces, this.unit);
    return html`<section>
      <h2>${words.sources}</h2>
      ${
        lines.length === 0
          ? html`<p class="label soft">${words.nothingApplies}</p>`
          : html`<ul class="sources">
              ${lines.map(
                ({ name, value, source }) => html`<li>
                  <span>${name}</span><strong>${value}</strong>
                  <p>${source}</p>
                </li>`,
              )}
            </ul>`
      }
    </section>`;
  }

  #renderWorth(revision: PlanRevision) {
    const settings = this.#settings;
    const effects = adaptationEffects(revision, this._case, this._furnaceId || null, settings);
    if (!effects) return nothing;
    const energy = numberText(settings.activationEnergyJoulesPerMole / 1000);
    return html`<section>
      <h2>${plansWords.worth.title}</h2>
      ${worthTable(effects, this.#furnaces)}
      <p class="caption soft note">
        ${plansWords.worth.note(energy, temperatureWithUnit(topCelsius(revision.plan), this.unit))}
      </p>
    </section>`;
  }

  #renderLayers(plan: Plan) {
    const asked = this._ledger;
    switch (asked.kind) {
      case "none":
        return nothing;
      case "loading":
        return html`<p class="soft" role="status">${plansWords.asking}</p>`;
      case "failed":
        return html`<p class="needs" role="alert">${asked.message}</p>`;
      case "ready":
        return html`<section>${jobLayers(asked.ledger, plan, this.unit, this.#coolingKelvinPerMinute)}</section>`;
    }
  }

  #renderBegin(planId: number) {
    const isOnly = this.state.furnaces.length === 1;
    return this.state.furnaces
      .filter(({ furnace }) => this._furnaceId === ANY || furnace.id === this._furnaceId)
      .filter(({ furnace }) => openBakeOf(this.state, furnace.id) === null)
      .map(
        ({ furnace }) => html`<button
          slot="actions"
          class="act main"
          @click=${() => act(this, { kind: "prepare", furnaceId: furnace.id, planId, case: this._case, job: this._job })}
        >
          ${isOnly ? plansWords.card.begin : html`${plansWords.card.beginOn} <span class="whole">${furnace.name}</span>`}
        </button>`,
      );
  }

  get #furnaces() {
    return this.state.furnaces.map(({ furnace }) => furnace);
  }

  get #settings() {
    return this.revision
      ? worthSettingsOf(this.revision, this.state.materials)
      : { activationEnergyJoulesPerMole: DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE, material: null };
  }

  get #material() {
    return this.revision ? (materialOf(this.revision, this.state.materials)?.material ?? null) : null;
  }

  get #coolingKelvinPerMinute() {
    return this._experience?.coolingKelvinPerMinute ?? USUAL_FREE_COOLING_KELVIN_PER_MINUTE;
  }

  /** What the furnace has managed is held against the climb once it is known; without it, it is not. */
  #setFurnace(furnaceId: string) {
    this._furnaceId = furnaceId;
    this._experience = null;
    if (furnaceId === ANY || !this.client) return;
    furnaceExperience(this.client, furnaceId)
      .then((experience) => {
        if (this._furnaceId === furnaceId) this._experience = experience;
      })
      .catch(() => undefined);
  }

  async #setJob(job: string) {
    this._job = job;
    const { client } = this;
    if (job === "" || !client) {
      this._ledger = { kind: "none" };
      return;
    }
    this._ledger = { kind: "loading" };
    try {
      const ledger = await client.ask(`/api/jobs/${encodeURIComponent(job)}`, jobLedgerSchema);
      if (this._job === job) this._ledger = { kind: "ready", ledger };
    } catch (error) {
      if (this._job === job) this._ledger = { kind: "failed", message: refusalLine(error) };
    }
  }
}

function isChanged({ sources }: Extract<EffectivePlan, { ok: true }>): boolean {
  return sources.some(({ parts }) => parts.length > 0);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-card-case": KioskCardCase;
  }
}
