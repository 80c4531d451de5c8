import { css, html, LitElement } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import { type GradeWord, gradeWordSchema } from "#shared/grade";

const GRADES = gradeWordSchema.options;

/**
 * How a piece came out, on one line from too little heat to too much: one tap, one grade.
 * A radio group by keyboard: arrows go along the line, space or enter chooses.
 * @fires grade-chosen {CustomEvent<GradeWord>} the grade tapped; the owner decides whether to take it
 */
@customElement("kiosk-grade-picker")
export class KioskGradePicker extends LitElement {
  /** The newest grade; null while there is none. */
  @property({ attribute: false }) grade: GradeWord | null = null;
  /** True while a grade is being saved. */
  @property({ type: Boolean }) isBusy = false;
  /** Read out before the grades. */
  @property() label = "How did it come out?";

  /** Where the arrows are; null until they are used. */
  @state() private _reached: GradeWord | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      :host {
        display: block;
        container-type: inline-size;
      }
      .line {
        display: grid;
        grid-template-columns: repeat(5, minmax(var(--touch-target-act), 1fr));
        gap: var(--touch-gap);
      }
      .ends {
        display: flex;
        justify-content: space-between;
        margin-bottom: var(--space-2);
        font-size: var(--text-caption);
        color: var(--color-ink-soft);
      }
      .ends::before {
        content: "";
        order: 1;
        flex: 1;
        align-self: center;
        margin: 0 var(--space-3);
        border-top: 1px solid var(--color-line-firm);
      }
      .ends :last-child {
        order: 2;
      }
      button {
        display: grid;
        align-content: center;
        justify-items: center;
        min-height: var(--touch-target-act);
        padding: 0 var(--space-1);
        font-size: var(--text-body);
      }
      button::before {
        content: "";
        height: 1em;
        line-height: 1;
      }
      button[aria-checked="true"]::before {
        content: "✓";
      }
      button::after {
        content: "";
        height: 0.6em;
      }
      @container (max-width: 620px) {
        .line {
          grid-template-columns: 1fr;
          gap: var(--space-2);
        }
        .ends {
          display: none;
        }
      }
    `,
  ];

  protected override render() {
    return html`
      <div class="ends" aria-hidden="true"><span>too little heat</span><span>too much</span></div>
      <div class="line" role="radiogroup" aria-label=${this.label} aria-busy=${this.isBusy}>
        ${GRADES.map((grade) => this.#renderGrade(grade))}
      </div>
    `;
  }

  #renderGrade(grade: GradeWord) {
    const stop = this._reached ?? this.grade ?? GRADES[0];
    return html`
      <button
        type="button"
        role="radio"
        aria-checked=${grade === this.grade}
        tabindex=${grade === stop ? 0 : -1}
        ?disabled=${this.isBusy}
        @click=${() => this.#choose(grade)}
        @keydown=${(event: KeyboardEvent) => this.#onKey(event, grade)}
      >
        ${words.grades[grade]}
      </button>
    `;
  }

  #choose(grade: GradeWord) {
    this._reached = null;
    this.dispatchEvent(new CustomEvent("grade-chosen", { detail: grade, bubbles: true, composed: true }));
  }

  #onKey(event: KeyboardEvent, grade: GradeWord) {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    const next = (GRADES.indexOf(grade) + step + GRADES.length) % GRADES.length;
    this._reached = GRADES[next] ?? grade;
    this.renderRoot.querySelectorAll("button")[next]?.focus();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-grade-picker": KioskGradePicker;
  }
}
