import { html, LitElement } from "lit";
import { customElement, property } from "lit/decorators.js";
import { FRAMEWORKS } from "#core/plan/bake-case";
import "#kiosk-ui/components/kiosk-stepper";
import type { TemperatureUnit } from "#kiosk-ui/format";
import "#kiosk-ui/screens/past-bakes/kiosk-choice";
import { type CardDraft, limitOf, newCard, withLimit, withPlan } from "#kiosk-ui/screens/plans/card-draft";
import { formStyles } from "#kiosk-ui/screens/plans/form-styles";
import "#kiosk-ui/screens/plans/kiosk-text-field";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { MaterialRevision } from "#shared/material";

const words = plansWords.edit;

/**
 * What a card is called, its notes, its material and the limits of the frameworks.
 * @fires draft-changed {CustomEvent<CardDraft>} the card as it would be; the owner decides
 */
@customElement("kiosk-card-form")
export class KioskCardForm extends LitElement {
  /** The card as it stands. */
  @property({ attribute: false }) card: CardDraft = newCard("");
  /** The materials that there are. */
  @property({ attribute: false }) materials: readonly MaterialRevision[] = [];
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [baseStyles, touchStyles, formStyles];

  protected override render() {
    const { card } = this;
    return html`
      <section class="group">
        <kiosk-text-field
          isRequired
          .label=${words.name}
          .value=${card.plan.name}
          @value-changed=${(event: CustomEvent<string>) => this.#tell(withPlan(card, { name: event.detail }))}
        ></kiosk-text-field>
        <kiosk-text-field
          .label=${words.notes}
          .value=${card.plan.notes ?? ""}
          .none=${words.noNotes}
          .longest=${500}
          @value-changed=${(event: CustomEvent<string>) =>
            this.#tell(withPlan(card, { notes: event.detail || undefined }))}
        ></kiosk-text-field>
        ${this.#renderMaterial()}
      </section>
      <section class="group">
        <h2>${words.limits}</h2>
        <p class="help">${words.limitsHelp}</p>
        <div class="fields">${FRAMEWORKS.map((framework) => this.#renderLimit(framework))}</div>
      </section>
    `;
  }

  /** Retired materials are offered only where one is the card's already. */
  #renderMaterial() {
    const { materialId } = this.card;
    const offered = this.materials.filter(
      (material) => !material.isRetired || material.materialId === materialId,
    );
    return html`<kiosk-choice
      .label=${words.material}
      .value=${String(materialId ?? "")}
      .choices=${[
        { value: "", name: words.noMaterial },
        ...offered.map(({ materialId: id, material }) => ({ value: String(id), name: material.name })),
      ]}
      @choice-made=${(event: CustomEvent<string>) =>
        this.#tell({ ...this.card, materialId: event.detail === "" ? null : Number(event.detail) })}
    ></kiosk-choice>`;
  }

  #renderLimit(framework: (typeof FRAMEWORKS)[number]) {
    const name = plansWords.frameworks[framework];
    return html`<kiosk-stepper
      isOptional
      .label=${name}
      .longLabel="${words.limits}: ${name}"
      .unit=${this.unit}
      .value=${limitOf(this.card, framework)}
      .unsaid=${words.noLimit}
      .start=${800}
      .step=${5}
      @value-changed=${(event: CustomEvent<number | null>) =>
        this.#tell(withLimit(this.card, framework, event.detail))}
    ></kiosk-stepper>`;
  }

  #tell(draft: CardDraft) {
    this.dispatchEvent(new CustomEvent("draft-changed", { detail: draft }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-card-form": KioskCardForm;
  }
}
