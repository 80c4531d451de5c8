/** A rectangle on the canvas. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** A point on the canvas. */
export interface CanvasPoint {
  readonly x: number;
  readonly y: number;
}

/** Shares of the wanted size that are tried in turn, the largest first. */
const SHRINKS = [1, 0.9, 0.8, 0.7, 0.6];

/**
 * Where the close-up covers nothing: the largest that fits into a corner of the plot, clear of every line.
 * @param plot    the plot's rectangle
 * @param lines   the curves drawn in it, as points; straight in between
 * @param wanted  its best size
 * @param margin  free space kept around it
 * @returns null where no corner has room for it
 */
export function insetPlace(
  plot: Box,
  lines: readonly (readonly CanvasPoint[])[],
  wanted: { readonly width: number; readonly height: number },
  margin: number,
): Box | null {
  for (const shrink of SHRINKS)
    for (const corner of cornerBoxes(plot, wanted.width * shrink, wanted.height * shrink, margin))
      if (isInside(corner, plot) && isClear(grown(corner, margin), lines)) return corner;
  return null;
}

/** True where no line passes through a box. */
export function isClear(box: Box, lines: readonly (readonly CanvasPoint[])[]): boolean {
  return !lines.some((line) => meetsBox(line, box));
}

function cornerBoxes(plot: Box, width: number, height: number, margin: number): Box[] {
  const leftEdge = plot.left + margin;
  const rightEdge = plot.left + plot.width - width - margin;
  const topEdge = plot.top + margin;
  const bottomEdge = plot.top + plot.height - height - margin;
  return [
    { left: leftEdge, top: topEdge, width, height },
    { left: rightEdge, top: topEdge, width, height },
    { left: rightEdge, top: bottomEdge, width, height },
    { left: leftEdge, top: bottomEdge, width, height },
    { left: (leftEdge + rightEdge) / 2, top: bottomEdge, width, height },
  ];
}

function isInside(box: Box, plot: Box): boolean {
  return (
    box.left >= plot.left &&
    box.top >= plot.top &&
    box.left + box.width <= plot.left + plot.width &&
    box.top + box.height <= plot.top + plot.height
  );
}

function grown({ left, top, width, height }: Box, by: number): Box {
  return { left: left - by, top: top - by, width: width + 2 * by, height: height + 2 * by };
}

function meetsBox(line: readonly CanvasPoint[], box: Box): boolean {
  return line.some((point, index) => segmentMeetsBox(line[index - 1] ?? point, point, box));
}

/** Liang–Barsky clipping: a segment meets a box when a stretch of it is left inside all four edges. */
function segmentMeetsBox(from: CanvasPoint, to: CanvasPoint, box: Box): boolean {
  let enter = 0;
  let leave = 1;
  const edges = [
    { along: from.x - to.x, room: from.x - box.left },
    { along: to.x - from.x, room: box.left + box.width - from.x },
    { along: from.y - to.y, room: from.y - box.top },
    { along: to.y - from.y, room: box.top + box.height - from.y },
  ];
  for (const { along, room } of edges) {
    if (along === 0 && room < 0) return false;
    if (along < 0) enter = Math.max(enter, room / along);
    if (along > 0) leave = Math.min(leave, room / along);
  }
  return enter <= leave;
}
