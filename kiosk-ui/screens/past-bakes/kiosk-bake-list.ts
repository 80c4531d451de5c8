import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { repeat } from "lit/directives/repeat.js";
import { caseText } from "#kiosk-ui/components/case-text";
import "#kiosk-ui/components/kiosk-scroll";
import { dayText, type TemperatureUnit, timeOfDayText } from "#kiosk-ui/format";
import type { Asked } from "#kiosk-ui/screens/past-bakes/bake-library";
import {
  type BakeQuery,
  everyBake,
  filtered,
  isFiltered,
  pageSpan,
  toggled,
} from "#kiosk-ui/screens/past-bakes/bake-query";
import { jobText, offsetText, planText, ratioText, startText } from "#kiosk-ui/screens/past-bakes/bake-words";
import "#kiosk-ui/screens/past-bakes/kiosk-choice";
import type { Choice } from "#kiosk-ui/screens/past-bakes/kiosk-choice";
import "#kiosk-ui/screens/past-bakes/kiosk-job-field";
import { pastBakesStyles } from "#kiosk-ui/screens/past-bakes/past-bakes-styles";
import { pastBakesWords as pastWords } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import { type VerdictWord, verdictWord } from "#kiosk-ui/screens/past-bakes/verdict-word";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { BakeSummary } from "#shared/bake";
import type { FurnaceStatus } from "#shared/furnace";
import { gradeWordSchema } from "#shared/grade";
import type { PlanRevision } from "#shared/plan";

/** One page of bakes, newest first. */
export interface BakePage {
  readonly bakes: readonly BakeSummary[];
  readonly total: number;
}

/**
 * The bakes that were recorded, a page at a time, filtered by touch; two can be chosen to lay over each other.
 * @fires query-changed {CustomEvent<BakeQuery>} another filter, page or choice
 * @fires bake-opened {CustomEvent<number>} a bake's id
 * @fires asked-again {CustomEvent} after a failure
 */
@customElement("kiosk-bake-list")
export class KioskBakeList extends LitElement {
  /** What is shown. */
  @property({ attribute: false }) query: BakeQuery = everyBake;
  /** The page of bakes, on its way, here or refused. */
  @property({ attribute: false }) page: Asked<BakePage> = { kind: "loading" };
  /** The furnaces to filter by. */
  @property({ attribute: false }) furnaces: readonly FurnaceStatus[] = [];
  /** The plans to filter by. */
  @property({ attribute: false }) plans: readonly PlanRevision[] = [];
  /** Unit of temperature differences. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    touchStyles,
    pastBakesStyles,
    css`
      .head .about {
        flex: 0 1 auto;
        margin-right: auto;
      }
      .filters {
        display: grid;
        grid-template-columns: repeat(4, minmax(130px, 190px));
        gap: var(--space-2);
      }
      ul.bakes {
        display: grid;
        gap: var(--space-2);
      }
      li.bake {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        gap: var(--space-2);
      }
      .open {
        display: grid;
        grid-template-columns: minmax(0, 1fr) 6.4em 7em 6.4em 6.4em;
        align-items: center;
        gap: 0 var(--space-4);
        width: 100%;
        padding: var(--space-2) var(--space-4);
        border-color: transparent;
        color: var(--color-ink);
        font-weight: var(--weight-text);
        font-size: var(--text-label);
        text-align: left;
      }
      .open .plan {
        display: block;
        font-size: var(--text-body);
        font-weight: var(--weight-strong);
      }
      .open .plan,
      .open .facts {
        overflow: hidden;
        text-overflow: ellipsis;
        white-space: nowrap;
      }
      .open small,
      .open .facts {
        display: block;
        font-size: var(--text-label);
        font-weight: var(--weight-text);
        color: var(--color-ink-soft);
      }
      .open .ratio {
        font-size: var(--text-title);
        font-weight: var(--weight-strong);
        text-align: right;
        line-height: 1.1;
      }
      .open .ratio small {
        font-size: var(--text-caption);
      }
      .open .when,
      .open .verdict small {
        white-space: nowrap;
      }
      .open .grade {
        font-size: var(--text-body);
        font-weight: var(--weight-strong);
        line-height: 1.15;
      }
      .lay {
        width: calc(19 * var(--mm));
        padding: 0 var(--space-1);
        font-size: var(--text-label);
      }
      .pages {
        display: flex;
        align-items: center;
        justify-content: center;
        gap: var(--space-4);
        padding: var(--space-3) 0;
      }
      @media (max-width: 1100px) {
        .open {
          grid-template-columns: minmax(0, 1fr) 5.8em 5.2em 6.6em 5.4em;
          gap: 0 var(--space-3);
        }
      }
      @media (max-width: 700px) {
        .filters {
          grid-template-columns: repeat(2, minmax(0, 1fr));
          width: 100%;
        }
        .open {
          grid-template-columns: auto minmax(0, 1fr);
          gap: var(--space-1) var(--space-3);
        }
        .open .plan-cell,
        .open .when {
          grid-column: 1 / -1;
        }
        .open .when small {
          display: inline;
        }
        .open .ratio {
          grid-row: 3 / span 2;
          text-align: left;
        }
        .lay {
          width: var(--touch-target);
        }
      }
    `,
  ];

  protected override render() {
    return html`
      <div class="head">
        <div class="about">
          <h1>${pastWords.title}</h1>
          <p class="soft label">${this.page.kind === "ready" ? pastWords.total(this.page.value.total) : nothing}</p>
        </div>
        ${this.#renderFilters()}
      </div>
      <kiosk-scroll class="body" aria-busy=${this.page.kind === "loading"}>${this.#renderPage()}</kiosk-scroll>
    `;
  }

  #renderFilters() {
    const { query } = this;
    const any = { value: "", name: pastWords.any };
    const furnaces = this.furnaces.map(({ furnace }) => ({ value: furnace.id, name: furnace.name }));
    const plans = this.plans.map(({ planId, plan }) => ({ value: String(planId), name: plan.name }));
    const grades: Choice[] = gradeWordSchema.options.map((grade) => ({
      value: grade,
      name: words.grades[grade],
    }));
    return html`<div class="filters" role="group" aria-label=${pastWords.filters}>
      ${this.#renderChoice(pastWords.furnace, [any, ...furnaces], query.furnaceId ?? "", (value) =>
        this.#filter({ furnaceId: value || null }),
      )}
      ${this.#renderChoice(pastWords.plan, [any, ...plans], String(query.planId ?? ""), (value) =>
        this.#filter({ planId: value ? Number(value) : null }),
      )}
      ${this.#renderChoice(
        pastWords.grade,
        [any, ...grades, { value: "none", name: pastWords.noGrade }],
        query.grade ?? "",
        (value) =>
          this.#filter({
            grade:
              value === "none" ? "none" : (gradeWordSchema.options.find((grade) => grade === value) ?? null),
          }),
      )}
      <kiosk-job-field
        .label=${pastWords.jobPart}
        .value=${query.job}
        .none=${pastWords.any}
        .confirm=${pastWords.lookFor}
        ?isSet=${query.job !== ""}
        @job-entered=${(event: CustomEvent<string>) => this.#filter({ job: event.detail })}
      ></kiosk-job-field>
    </div>`;
  }

  #renderChoice(label: string, choices: readonly Choice[], value: string, choose: (value: string) => void) {
    return html`<kiosk-choice
      .label=${label}
      .choices=${choices}
      .value=${value}
      ?isSet=${value !== ""}
      @choice-made=${(event: CustomEvent<string>) => choose(event.detail)}
    ></kiosk-choice>`;
  }

  #renderPage() {
    const { page } = this;
    if (page.kind === "loading")
      return html`<div class="state soft" role="status">${pastWords.loading}</div>`;
    if (page.kind === "failed")
      return html`<div class="state" role="alert">
        <h2>${pastWords.failed}</h2>
        <p class="soft">${page.message}</p>
        <button class="act" @click=${() => this.dispatchEvent(new CustomEvent("asked-again"))}>
          ${pastWords.again}
        </button>
      </div>`;
    if (page.value.bakes.length === 0) return this.#renderEmpty();
    return html`
      <ul class="bakes">
        ${repeat(
          page.value.bakes,
          (bake) => bake.id,
          (bake) => this.#renderBake(bake),
        )}
      </ul>
      ${this.#renderPages(page.value.total)}
    `;
  }

  #renderEmpty() {
    if (!isFiltered(this.query) && this.query.page === 0)
      return html`<div class="state"><h2>${pastWords.empty}</h2><p class="soft">${pastWords.emptyHelp}</p></div>`;
    return html`<div class="state">
      <h2>${pastWords.noneFound}</h2>
      <p class="soft">${pastWords.noneFoundHelp}</p>
      <button class="act" @click=${() => this.#change({ ...everyBake, chosen: this.query.chosen })}>
        ${pastWords.clearFilters}
      </button>
    </div>`;
  }

  #renderBake(bake: BakeSummary) {
    const isChosen = this.query.chosen.includes(bake.id);
    const verdict = verdictWord(bake);
    return html`<li class="bake">
      <button class="open" @click=${() => this.#open(bake.id)}>
        <span class="plan-cell">
          <span class="plan">${planText(bake)}</span>
          <span class="facts">${bake.furnaceName} · ${jobText(bake)}</span>
          ${bake.case ? html`<span class="facts">${caseText(bake.case)}</span>` : nothing}
        </span>
        <span class="when">
          ${dayText(bake.startedAtEpochMilliseconds)}
          <small>${timeOfDayText(bake.startedAtEpochMilliseconds)}</small>
        </span>
        <span class="ratio">
          ${ratioText(bake.heatWorkRatio)}
          <small>${pastWords.heatWork}</small>
        </span>
        <span class="verdict ${sideClass(verdict)}">
          ${pastWords.verdicts[verdict]}
          <small>${offsetText(bake.equivalentOffsetKelvin, this.unit)}</small>
        </span>
        ${
          bake.grade
            ? html`<span class="grade"><small>${pastWords.cameOut}</small> ${words.grades[bake.grade]}</span>`
            : html`<span class="soft">${pastWords.noGrade}</span>`
        }
      </button>
      <button
        class="lay"
        aria-pressed=${isChosen}
        aria-label="${pastWords.layOver}: ${planText(bake)}, ${startText(bake)}"
        @click=${() => this.#change(toggled(this.query, bake.id))}
      >
        ${isChosen ? `✓ ${pastWords.chosen}` : pastWords.layOver}
      </button>
    </li>`;
  }

  #renderPages(total: number) {
    const { page } = this.query;
    const { from, to, hasNewer, hasOlder } = pageSpan(page, total);
    if (!hasNewer && !hasOlder) return nothing;
    return html`<div class="pages" role="group" aria-label=${pastWords.pages}>
      <button ?disabled=${!hasNewer} @click=${() => this.#turnTo(page - 1)}>${pastWords.newer}</button>
      <span>${pastWords.span(from, to, total)}</span>
      <button ?disabled=${!hasOlder} @click=${() => this.#turnTo(page + 1)}>${pastWords.older}</button>
    </div>`;
  }

  #turnTo(page: number) {
    this.renderRoot.querySelector("kiosk-scroll")?.toTop();
    this.#change({ ...this.query, page });
  }

  #filter(change: Parameters<typeof filtered>[1]) {
    this.#change(filtered(this.query, change));
  }

  #change(query: BakeQuery) {
    this.dispatchEvent(new CustomEvent("query-changed", { detail: query }));
  }

  #open(bakeId: number) {
    this.dispatchEvent(new CustomEvent("bake-opened", { detail: bakeId }));
  }
}

/** Cool for too little, warm for too much; the word always stands beside it. */
function sideClass(verdict: VerdictWord): string {
  return verdict === "short" ? "cold" : verdict === "excess" ? "hot" : "soft";
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-bake-list": KioskBakeList;
  }
}
