import { html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { legs } from "#core/plan/plan";
import "#kiosk-ui/components/kiosk-stepper";
import type { TemperatureUnit } from "#kiosk-ui/format";
import {
  type CardDraft,
  canAddHold,
  newCard,
  withClimbAdded,
  withCoolingKind,
  withHoldAdded,
  withoutStep,
  withPlan,
  withReleaseKind,
  withStep,
  withVacuum,
  withVacuumChanged,
} from "#kiosk-ui/screens/plans/card-draft";
import { formStyles } from "#kiosk-ui/screens/plans/form-styles";
import "#kiosk-ui/screens/plans/kiosk-choices";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Plan } from "#shared/plan";

const words = plansWords.edit;
const DAY_SECONDS = 86_400;
type Step = Plan["steps"][number];

/**
 * The numbers of a base plan by touch: times, climbs and holds, vacuum and cooling.
 * @fires draft-changed {CustomEvent<CardDraft>} the card as it would be; the owner decides
 */
@customElement("kiosk-plan-form")
export class KioskPlanForm extends LitElement {
  /** The card as it stands. */
  @property({ attribute: false }) card: CardDraft = newCard("");
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [baseStyles, touchStyles, formStyles];

  protected override render() {
    return html`${this.#renderBefore()} ${this.#renderSteps()} ${this.#renderVacuum()} ${this.#renderCooling()}`;
  }

  #renderBefore() {
    const { dryingSeconds, closingSeconds, lowCelsius, lowHoldSeconds } = this.card.plan;
    return html`<section class="group">
      <h2>${words.before}</h2>
      <div class="fields">
        ${this.#seconds(words.drying, dryingSeconds, 10, (value) => withPlan(this.card, { dryingSeconds: value }))}
        ${this.#seconds(words.closing, closingSeconds, 10, (value) => withPlan(this.card, { closingSeconds: value }))}
        ${this.#celsius(words.low, lowCelsius, (value) => withPlan(this.card, { lowCelsius: value }))}
        ${this.#seconds(words.lowHold, lowHoldSeconds, 10, (value) => withPlan(this.card, { lowHoldSeconds: value }))}
      </div>
    </section>`;
  }

  /** Climbs are counted; a hold has the number of the climb before it, as the release of the vacuum counts it. */
  #renderSteps() {
    const { steps } = this.card.plan;
    let climbs = 0;
    return html`<section class="group">
      ${steps.map((step, index) => {
        if (step.kind === "climb") climbs += 1;
        return this.#renderStep(step, index, Math.max(1, climbs));
      })}
      <div class="buttons">
        <button ?disabled=${steps.length >= 40} @click=${() => this.#tell(withClimbAdded(this.card))}>
          ${words.addClimb}
        </button>
        <button
          ?disabled=${!canAddHold(this.card) || steps.length >= 40}
          @click=${() => this.#tell(withHoldAdded(this.card))}
        >
          ${words.addHold}
        </button>
      </div>
    </section>`;
  }

  #renderStep(step: Step, index: number, number: number) {
    const name = step.kind === "climb" ? words.climb(number) : words.hold(number);
    const set = (changed: Step) => withStep(this.card, index, changed);
    return html`<h2>${name}</h2>
      <div class="line">
        ${
          step.kind === "climb"
            ? html`${this.#celsius(words.to, step.toCelsius, (value) => set({ ...step, toCelsius: value }), name)}
              ${this.#rate(step.kelvinPerMinute, (value) => set({ ...step, kelvinPerMinute: value }), name)}`
            : this.#seconds(
                words.holdLength,
                step.seconds,
                5,
                (value) => set({ ...step, seconds: value }),
                name,
              )
        }
        <button
          class="end"
          aria-label=${words.removeOf(name)}
          ?disabled=${this.card.plan.steps.length === 1}
          @click=${() => this.#tell(withoutStep(this.card, index))}
        >
          ${words.remove}
        </button>
      </div>`;
  }

  #renderVacuum() {
    const { vacuum } = this.card.plan;
    return html`<section class="group">
      <h2>${words.vacuum}</h2>
      <kiosk-choices
        isBare
        .label=${words.vacuum}
        .value=${vacuum ? "on" : "off"}
        .choices=${[{ value: "off", name: words.vacuumOff }, { value: "on", name: words.vacuumOn }]}
        @choice-made=${(event: CustomEvent<string>) => this.#tell(withVacuum(this.card, event.detail === "on"))}
      ></kiosk-choices>
      ${vacuum ? this.#renderVacuumOn(vacuum) : nothing}
    </section>`;
  }

  #renderVacuumOn(vacuum: NonNullable<Plan["vacuum"]>) {
    const { release } = vacuum;
    const mostHold = Math.max(
      1,
      legs(this.card.plan).length,
      release.kind === "at-temperature" ? 1 : release.hold,
    );
    return html`
      <div class="fields">
        ${this.#celsius(
          words.vacuumFrom,
          vacuum.onAtCelsius,
          (value) => withVacuumChanged(this.card, { onAtCelsius: value }),
          words.vacuum,
        )}
        <kiosk-stepper
          kind="pressure"
          .label=${words.vacuumLevel}
          .longLabel="${words.vacuum}: ${words.vacuumLevel}"
          .value=${vacuum.levelHectopascals}
          .step=${5}
          .min=${1}
          .max=${1100}
          @value-changed=${this.#take((value) => withVacuumChanged(this.card, { levelHectopascals: value }))}
        ></kiosk-stepper>
      </div>
      <kiosk-choices
        .label=${words.release}
        .value=${release.kind}
        .choices=${(["at-temperature", "hold-start", "hold-end"] as const).map((kind) => ({
          value: kind,
          name: words.releases[kind],
        }))}
        @choice-made=${(event: CustomEvent<typeof release.kind>) =>
          this.#tell(withReleaseKind(this.card, event.detail))}
      ></kiosk-choices>
      <div class="fields">
        ${
          release.kind === "at-temperature"
            ? this.#celsius(
                words.releaseAt,
                release.celsius,
                (celsius) => withVacuumChanged(this.card, { release: { ...release, celsius } }),
                words.release,
                1,
              )
            : mostHold === 1
              ? nothing
              : html`<kiosk-stepper
                kind="bare"
                .label=${words.releaseHold}
                .value=${release.hold}
                .step=${1}
                .min=${1}
                .max=${mostHold}
                @value-changed=${this.#take((hold) => withVacuumChanged(this.card, { release: { ...release, hold } }))}
              ></kiosk-stepper>`
        }
      </div>
    `;
  }

  #renderCooling() {
    const { cooling } = this.card.plan;
    return html`<section class="group">
      <h2>${words.cooling}</h2>
      <kiosk-choices
        isBare
        .label=${words.cooling}
        .value=${cooling.kind}
        .choices=${(["free", "steady"] as const).map((kind) => ({ value: kind, name: words.coolings[kind] }))}
        @choice-made=${(event: CustomEvent<typeof cooling.kind>) =>
          this.#tell(withCoolingKind(this.card, event.detail))}
      ></kiosk-choices>
      <div class="fields">
        ${
          cooling.kind === "free"
            ? html`<kiosk-stepper
                isOptional
                .label=${words.opensAt}
                .unit=${this.unit}
                .value=${cooling.openAtCelsius ?? null}
                .unsaid=${words.notSaid}
                .start=${550}
                .step=${10}
                @value-changed=${(event: CustomEvent<number | null>) =>
                  this.#tell(
                    withPlan(this.card, {
                      cooling:
                        event.detail === null
                          ? { kind: "free" }
                          : { kind: "free", openAtCelsius: event.detail },
                    }),
                  )}
              ></kiosk-stepper>`
            : html`${this.#celsius(
                words.coolTo,
                cooling.toCelsius,
                (value) => withPlan(this.card, { cooling: { ...cooling, toCelsius: value } }),
                words.cooling,
              )}
              ${this.#rate(
                cooling.kelvinPerMinute,
                (value) => withPlan(this.card, { cooling: { ...cooling, kelvinPerMinute: value } }),
                words.cooling,
              )}`
        }
      </div>
    </section>`;
  }

  #seconds(label: string, value: number, step: number, changed: (value: number) => CardDraft, of = "") {
    return html`<kiosk-stepper
      kind="duration"
      .label=${label}
      .longLabel=${of ? `${of}: ${label}` : ""}
      .value=${value}
      .step=${step}
      .max=${DAY_SECONDS}
      @value-changed=${this.#take(changed)}
    ></kiosk-stepper>`;
  }

  #celsius(label: string, value: number, changed: (value: number) => CardDraft, of = "", step = 5) {
    return html`<kiosk-stepper
      kind="temperature"
      .label=${label}
      .longLabel=${of ? `${of}: ${label}` : ""}
      .unit=${this.unit}
      .value=${value}
      .step=${step}
      @value-changed=${this.#take(changed)}
    ></kiosk-stepper>`;
  }

  #rate(value: number, changed: (value: number) => CardDraft, of: string) {
    return html`<kiosk-stepper
      kind="rate"
      .label=${words.rate}
      .longLabel="${of}: ${words.rate}"
      .unit=${this.unit}
      .value=${value}
      .step=${5}
      .min=${1}
      .max=${500}
      @value-changed=${this.#take(changed)}
    ></kiosk-stepper>`;
  }

  #take(changed: (value: number) => CardDraft) {
    return (event: CustomEvent<number | null>) => {
      if (event.detail !== null) this.#tell(changed(event.detail));
    };
  }

  #tell(draft: CardDraft) {
    this.dispatchEvent(new CustomEvent("draft-changed", { detail: draft }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-plan-form": KioskPlanForm;
  }
  interface HTMLElementEventMap {
    "draft-changed": CustomEvent<CardDraft>;
  }
}
