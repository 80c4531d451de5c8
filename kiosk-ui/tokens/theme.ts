/** How the screen is lit: by hand, never by itself, unless the device is asked to decide. */
export type Theme = "light" | "dark" | "device";

/** Temperatures as this page shows them; `lab` follows the daemon's setting. */
export type UnitChoice = "lab" | "celsius" | "fahrenheit";

/** What a page keeps for itself between visits. */
export interface PageSettings {
  readonly theme: Theme;
  readonly unit: UnitChoice;
}

/** What holds a page's settings: `localStorage`, or a map in tests. */
export type SettingsKeep = Pick<Storage, "getItem" | "setItem">;

const THEME_KEY = "bakeside-theme";
const UNIT_KEY = "bakeside-unit";
const THEMES: readonly Theme[] = ["light", "dark", "device"];
const UNITS: readonly UnitChoice[] = ["lab", "celsius", "fahrenheit"];

/** The settings kept by this page; what cannot be read counts as light and the lab's unit. */
export function keptSettings(keep: SettingsKeep): PageSettings {
  return {
    theme: THEMES.find((theme) => theme === kept(keep, THEME_KEY)) ?? "light",
    unit: UNITS.find((unit) => unit === kept(keep, UNIT_KEY)) ?? "lab",
  };
}

/** Keeps the settings; a browser that refuses to store only forgets them on reload. */
export function keepSettings(keep: SettingsKeep, settings: PageSettings): void {
  try {
    keep.setItem(THEME_KEY, settings.theme);
    keep.setItem(UNIT_KEY, settings.unit);
  } catch {
    // private windows and full profiles refuse: the choice then lasts as long as the page
  }
}

/** Lights the page by a theme. */
export function applyTheme(root: HTMLElement, theme: Theme): void {
  root.dataset["theme"] = theme;
}

function kept(keep: SettingsKeep, key: string): string | null {
  try {
    return keep.getItem(key);
  } catch {
    return null;
  }
}
