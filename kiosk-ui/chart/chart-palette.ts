/** The chart's colours and type, as the page's tokens stand now. */
export interface ChartPalette {
  readonly ground: string;
  readonly sheet: string;
  readonly ink: string;
  readonly softInk: string;
  readonly line: string;
  readonly band: string;
  readonly warm: string;
  readonly warmFill: string;
  readonly cool: string;
  readonly coolFill: string;
  readonly fontFamily: string;
}

/** Reads the tokens where an element stands, so that light, dark and high contrast need nothing more. */
export function chartPalette(element: Element): ChartPalette {
  const style = getComputedStyle(element);
  const color = (name: string) => style.getPropertyValue(`--color-${name}`).trim() || style.color;
  return {
    ground: color("ground"),
    sheet: color("sheet"),
    ink: color("ink"),
    softInk: color("ink-soft"),
    line: color("line"),
    band: color("band"),
    warm: color("warm"),
    warmFill: color("warm-fill"),
    cool: color("cool"),
    coolFill: color("cool-fill"),
    fontFamily: style.fontFamily || "sans-serif",
  };
}
