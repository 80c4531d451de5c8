import type { Place } from "#kiosk-ui/words";

/** The places whose page is not there from the beginning: everything but Now. */
export type FetchedPlace = Exclude<Place, "now">;

/** What is fetched when it is wanted: those, and Begin, which stands within Now. */
export type FetchedPage = FetchedPlace | "begin";

/** How far the page of a place has come. */
export type PageState = "unasked" | "loading" | "ready" | "failed";

/** Brings a page, so that its element is known from then on. */
export type PageLoaders = Readonly<Record<FetchedPage, () => Promise<unknown>>>;

const LOADERS: PageLoaders = {
  begin: () => import("#kiosk-ui/screens/begin/kiosk-begin"),
  "past-bakes": () => import("#kiosk-ui/screens/past-bakes/kiosk-past-bakes"),
  plans: () => import("#kiosk-ui/screens/plans/kiosk-plans"),
  upkeep: () => import("#kiosk-ui/screens/upkeep/kiosk-upkeep"),
};

/** What stands behind the places, fetched last of all. */
const BEHIND: readonly (() => Promise<unknown>)[] = [
  () => import("#kiosk-ui/screens/upkeep/kiosk-furnace-page"),
  () => import("#kiosk-ui/screens/upkeep/connect/kiosk-connect"),
];

/** The order in which pages are fetched in quiet: what is wanted next comes first. */
const QUIET_ORDER: readonly FetchedPage[] = ["begin", "past-bakes", "plans", "upkeep"];

/**
 * The pages of the places, and Begin: fetched when one is first opened, or before that in a quiet moment, so
 * that a tap does not wait.
 */
export class PlacePages {
  readonly #onChange: () => void;
  readonly #loaders: PageLoaders;
  readonly #states = new Map<FetchedPage, PageState>();

  /** @param onChange called whenever a state changes; loaders are the pages' own, tests hand in theirs */
  constructor(onChange: () => void, loaders: PageLoaders = LOADERS) {
    this.#onChange = onChange;
    this.#loaders = loaders;
  }

  /** How far a page has come. */
  stateOf(place: FetchedPage): PageState {
    return this.#states.get(place) ?? "unasked";
  }

  /** Fetches a page that somebody wants to see; returns whether it is there. */
  async fetch(place: FetchedPage): Promise<boolean> {
    const before = this.stateOf(place);
    if (before === "ready") return true;
    if (before !== "loading") this.#set(place, "loading");
    try {
      await this.#loaders[place]();
      this.#set(place, "ready");
      return true;
    } catch {
      this.#set(place, "failed");
      return false;
    }
  }

  /**
   * Fetches all pages one after the other while nothing else is done. One that does not come is left until
   * somebody wants it.
   * @param quietMoment ends when there is one
   */
  async fetchInQuiet(quietMoment: () => Promise<void> = idle): Promise<void> {
    for (const place of QUIET_ORDER) {
      await quietMoment();
      if (this.stateOf(place) === "unasked") await this.#fetchUnseen(place);
    }
    for (const fetchPage of this.#loaders === LOADERS ? BEHIND : []) {
      await quietMoment();
      await fetchPage().catch(() => undefined);
    }
  }

  async #fetchUnseen(place: FetchedPage): Promise<void> {
    try {
      await this.#loaders[place]();
      this.#set(place, "ready");
    } catch {
      // nobody waits for it: it is fetched again when it is opened
    }
  }

  #set(place: FetchedPage, state: PageState): void {
    if (this.stateOf(place) === state) return;
    this.#states.set(place, state);
    this.#onChange();
  }
}

/** At the latest after so long, ms. */
const QUIET_AT_THE_LATEST_MILLISECONDS = 4000;

/** The next moment in which the browser has nothing to do. */
function idle(): Promise<void> {
  return new Promise((resolve) => {
    if ("requestIdleCallback" in globalThis)
      requestIdleCallback(() => resolve(), { timeout: QUIET_AT_THE_LATEST_MILLISECONDS });
    else setTimeout(resolve, QUIET_AT_THE_LATEST_MILLISECONDS / 4);
  });
}
