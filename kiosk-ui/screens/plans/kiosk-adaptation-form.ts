import { css, html, LitElement, nothing } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-stepper";
import { conditionText, type FurnaceNames } from "#kiosk-ui/components/condition-text";
import type { TemperatureUnit } from "#kiosk-ui/format";
import {
  asKind,
  type Changeable,
  changeablesLeft,
  changedNumber,
  conditionChoices,
  newAdaptation,
  newChange,
  withBasis,
  withChange,
  withoutChange,
} from "#kiosk-ui/screens/plans/adaptation-draft";
import {
  type CardDraft,
  newCard,
  newCooling,
  withAdaptation,
  withoutAdaptation,
} from "#kiosk-ui/screens/plans/card-draft";
import { changeText, type PlanQuantity, planQuantity } from "#kiosk-ui/screens/plans/change-text";
import { conditionKey } from "#kiosk-ui/screens/plans/condition-key";
import { formStyles } from "#kiosk-ui/screens/plans/form-styles";
import "#kiosk-ui/screens/plans/kiosk-choices";
import "#kiosk-ui/screens/plans/kiosk-text-field";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Adaptation, AdaptationCondition, PlanChange } from "#shared/plan";

const words = plansWords.edit;
const KINDS: readonly AdaptationCondition["kind"][] = ["framework", "case-size", "bake", "furnace"];

/** How far a number of a kind may be set or shifted, and in which steps. */
const BOUNDS: Readonly<Record<PlanQuantity, { most: number; least: number; step: number; fine: number }>> = {
  temperature: { least: 0, most: 1300, step: 5, fine: 1 },
  duration: { least: 0, most: 10_000, step: 5, fine: 5 },
  rate: { least: 1, most: 500, step: 5, fine: 1 },
  pressure: { least: 1, most: 1100, step: 5, fine: 5 },
};

/**
 * What a card changes when, by touch: a list, and one of them open to be changed.
 * @fires adaptation-opened {CustomEvent<number | null>} one of them shall be open, or the list; the owner decides
 * @fires draft-changed {CustomEvent<CardDraft>} the card as it would be; the owner decides
 */
@customElement("kiosk-adaptation-form")
export class KioskAdaptationForm extends LitElement {
  /** The card as it stands. */
  @property({ attribute: false }) card: CardDraft = newCard("");
  /** The furnaces that there are. */
  @property({ attribute: false }) furnaces: FurnaceNames = [];
  /** Which adaptation is open; null for the list. */
  @property({ attribute: false }) openIndex: number | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _isAdding = false;

  static override styles = [
    baseStyles,
    touchStyles,
    formStyles,
    css`
      .list {
        display: grid;
        gap: var(--space-2);
      }
      .list button {
        width: 100%;
        padding-block: var(--space-2);
        border-color: var(--color-line-firm);
        color: var(--color-ink);
        text-align: left;
      }
      .list span {
        display: block;
        font-weight: var(--weight-text);
      }
      .list .basis {
        margin-top: 2px;
        font-size: var(--text-caption);
        color: var(--color-ink-soft);
      }
      .change {
        display: grid;
        gap: var(--space-1);
      }
      .change + .change {
        margin-top: var(--space-3);
      }
    `,
  ];

  protected override render() {
    const index = this.openIndex;
    const adaptation = index === null ? undefined : this.card.adaptations[index];
    return index === null || !adaptation ? this.#renderList() : this.#renderOpen(adaptation, index);
  }

  #renderList() {
    const { adaptations } = this.card;
    return html`<section class="group">
      <p class="help">${words.changesHelp}</p>
      <ul class="list">
        ${adaptations.map(
          (adaptation, index) => html`<li>
            <button
              @click=${() => this.#open(index)}
            >
              ${conditionText(adaptation.when, this.furnaces)}
              <span>${adaptation.changes.map((change) => changeText(change, this.unit)).join(", ")}</span>
              ${adaptation.basis ? html`<span class="basis">${adaptation.basis}</span>` : nothing}
            </button>
          </li>`,
        )}
      </ul>
      <div class="buttons">
        <button ?disabled=${adaptations.length >= 60} @click=${this.#add}>${words.add}</button>
      </div>
    </section>`;
  }

  #renderOpen(adaptation: Adaptation, index: number) {
    const set = (changed: Adaptation) => this.#tell(withAdaptation(this.card, index, changed));
    return html`
      <section class="group">${this.#renderWhen(adaptation, set)}</section>
      <section class="group">
        <h2>${words.what}</h2>
        <div>
          ${adaptation.changes.map((change, at) => this.#renderChange(adaptation, change, at, set))}
        </div>
        ${this.#renderAddNumber(adaptation, set)}
      </section>
      <section class="group">
        <kiosk-text-field
          .label=${words.basis}
          .value=${adaptation.basis ?? ""}
          .none=${words.basisHint}
          .longest=${200}
          @value-changed=${(event: CustomEvent<string>) => set(withBasis(adaptation, event.detail))}
        ></kiosk-text-field>
        <div class="buttons">
          <button @click=${() => this.#remove(index)}>${words.removeChange}</button>
          <button class="act main" @click=${this.#close}>${words.done}</button>
        </div>
      </section>
    `;
  }

  #renderWhen(adaptation: Adaptation, set: (changed: Adaptation) => void) {
    const { when } = adaptation;
    const choices = conditionChoices(when.kind, this.furnaces);
    return html`
      <kiosk-choices
        .label=${words.when}
        .value=${when.kind}
        .choices=${KINDS.map((kind) => ({ value: kind, name: plansWords.groups[kind] }))}
        @choice-made=${(event: CustomEvent<AdaptationCondition["kind"]>) => {
          const first = conditionChoices(event.detail, this.furnaces)[0];
          if (first && event.detail !== when.kind) set({ ...adaptation, when: first.when });
        }}
      ></kiosk-choices>
      ${
        choices.length === 0
          ? html`<p class="help">${words.noFurnace}</p>`
          : html`<kiosk-choices
              isBare
              .label=${plansWords.groups[when.kind]}
              .value=${conditionKey(when)}
              .choices=${choices}
              @choice-made=${(event: CustomEvent<string>) => {
                const chosen = choices.find(({ value }) => value === event.detail);
                if (chosen) set({ ...adaptation, when: chosen.when });
              }}
            ></kiosk-choices>`
      }
    `;
  }

  #renderChange(adaptation: Adaptation, change: PlanChange, at: number, set: (changed: Adaptation) => void) {
    const name = plansWords.numbers[changedNumber(change)];
    const take = (changed: PlanChange) => set(withChange(adaptation, at, changed));
    return html`<div class="change">
      <h3>${capitalised(name)}</h3>
      <div class="line">
        ${change.kind === "cooling" ? this.#renderCooling(change, take) : this.#renderNumber(change, name, take)}
        <button
          class="end"
          aria-label=${words.removeOf(name)}
          ?disabled=${adaptation.changes.length === 1}
          @click=${() => set(withoutChange(adaptation, at))}
        >
          ${words.remove}
        </button>
      </div>
    </div>`;
  }

  #renderNumber(
    change: Exclude<PlanChange, { kind: "cooling" }>,
    name: string,
    take: (changed: PlanChange) => void,
  ) {
    const quantity = planQuantity(change.number);
    const bounds = BOUNDS[quantity];
    const isShift = change.kind === "shift";
    return html`
      <kiosk-choices
        isBare
        .label=${name}
        .value=${change.kind}
        .choices=${[{ value: "shift", name: words.by0 }, { value: "set", name: words.setTo }]}
        @choice-made=${(event: CustomEvent<"shift" | "set">) => take(asKind(this.card, change, event.detail))}
      ></kiosk-choices>
      <kiosk-stepper
        .kind=${isShift && quantity === "temperature" ? "difference" : quantity}
        .label=${isShift ? words.by : words.to}
        .longLabel="${name}: ${isShift ? words.by : words.to}"
        .unit=${this.unit}
        .value=${isShift ? change.by : change.to}
        .step=${isShift ? bounds.fine : bounds.step}
        .min=${isShift ? -bounds.most : bounds.least}
        .max=${bounds.most}
        ?isSigned=${isShift}
        @value-changed=${(event: CustomEvent<number | null>) => {
          if (event.detail !== null)
            take(isShift ? { ...change, by: event.detail } : { ...change, to: event.detail });
        }}
      ></kiosk-stepper>
    `;
  }

  #renderCooling(change: Extract<PlanChange, { kind: "cooling" }>, take: (changed: PlanChange) => void) {
    const { to } = change;
    return html`
      <kiosk-choices
        isBare
        .label=${words.cooling}
        .value=${to.kind}
        .choices=${(["free", "steady"] as const).map((kind) => ({ value: kind, name: words.coolings[kind] }))}
        @choice-made=${(event: CustomEvent<"free" | "steady">) =>
          event.detail !== to.kind && take({ kind: "cooling", to: newCooling(this.card, event.detail) })}
      ></kiosk-choices>
      ${
        to.kind === "steady"
          ? html`<kiosk-stepper
                .label=${words.coolTo}
                .longLabel="${words.cooling}: ${words.coolTo}"
                .unit=${this.unit}
                .value=${to.toCelsius}
                @value-changed=${(event: CustomEvent<number>) =>
                  take({ kind: "cooling", to: { ...to, toCelsius: event.detail } })}
              ></kiosk-stepper>
              <kiosk-stepper
                kind="rate"
                .label=${words.coolRate}
                .longLabel="${words.cooling}: ${words.coolRate}"
                .unit=${this.unit}
                .value=${to.kelvinPerMinute}
                .min=${1}
                .max=${500}
                @value-changed=${(event: CustomEvent<number>) =>
                  take({ kind: "cooling", to: { ...to, kelvinPerMinute: event.detail } })}
              ></kiosk-stepper>`
          : html`<kiosk-stepper
              isOptional
              .label=${words.opensAt}
              .longLabel="${words.cooling}: ${words.opensAt}"
              .unit=${this.unit}
              .value=${to.openAtCelsius ?? null}
              .unsaid=${words.notSaid}
              .start=${550}
              .step=${10}
              @value-changed=${(event: CustomEvent<number | null>) =>
                take({
                  kind: "cooling",
                  to:
                    event.detail === null ? { kind: "free" } : { kind: "free", openAtCelsius: event.detail },
                })}
            ></kiosk-stepper>`
      }
    `;
  }

  #renderAddNumber(adaptation: Adaptation, set: (changed: Adaptation) => void) {
    const left = changeablesLeft(this.card, adaptation);
    if (left.length === 0) return nothing;
    if (!this._isAdding)
      return html`<div class="buttons">
        <button
          @click=${() => {
            this._isAdding = true;
          }}
        >
          ${words.addNumber}
        </button>
      </div>`;
    return html`<kiosk-choices
      .label=${words.addNumber}
      .choices=${left.map((number) => ({ value: number, name: plansWords.numbers[number] }))}
      @choice-made=${(event: CustomEvent<Changeable>) => {
        this._isAdding = false;
        set(withChange(adaptation, adaptation.changes.length, newChange(this.card, event.detail)));
      }}
    ></kiosk-choices>`;
  }

  readonly #add = () => {
    const index = this.card.adaptations.length;
    this.#tell(withAdaptation(this.card, index, newAdaptation(this.card, this.furnaces)));
    this.#open(index);
  };

  #remove(index: number) {
    this.#close();
    this.#tell(withoutAdaptation(this.card, index));
  }

  readonly #close = () => {
    this.#open(null);
  };

  #open(index: number | null) {
    this._isAdding = false;
    this.dispatchEvent(new CustomEvent("adaptation-opened", { detail: index }));
  }

  #tell(draft: CardDraft) {
    this.dispatchEvent(new CustomEvent("draft-changed", { detail: draft }));
  }
}

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-adaptation-form": KioskAdaptationForm;
  }
  interface HTMLElementEventMap {
    "adaptation-opened": CustomEvent<number | null>;
  }
}
