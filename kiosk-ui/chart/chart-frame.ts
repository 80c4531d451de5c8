import type { CurvePoint } from "#core/heat/heat-work";
import type { TimeWindow } from "#core/trace/decimate";
import type { Gap } from "#core/trace/trace";
import type { ChartPalette } from "#kiosk-ui/chart/chart-palette";
import type { DifferencePiece } from "#kiosk-ui/chart/difference-area";
import type { Box } from "#kiosk-ui/chart/inset-place";

/** A rectangle of the canvas with its two scales: the plot, or the close-up. */
export interface ChartFrame {
  readonly context: CanvasRenderingContext2D;
  readonly palette: ChartPalette;
  /** Canvas pixels to a CSS pixel. */
  readonly ratio: number;
  readonly fontPixels: number;
  readonly box: Box;
  readonly x: (atSeconds: number) => number;
  readonly y: (celsius: number) => number;
}

const LEAST_BAND_PIXELS = 5;

/** Draws with everything outside the frame's box cut off. */
export function clipped({ context, box }: ChartFrame, draw: () => void): void {
  context.save();
  context.beginPath();
  context.rect(box.left, box.top, box.width, box.height);
  context.clip();
  draw();
  context.restore();
}

/** The plan's pale band, never thinner than can be seen. */
export function drawBand(frame: ChartFrame, plan: readonly CurvePoint[], bandKelvin: number): void {
  const { context, ratio, x, y, palette } = frame;
  const halfPixels = Math.max(y(0) - y(bandKelvin), LEAST_BAND_PIXELS * ratio);
  context.beginPath();
  for (const { atSeconds, celsius } of plan) context.lineTo(x(atSeconds), y(celsius) - halfPixels);
  for (let index = plan.length - 1; index >= 0; index--) {
    const corner = plan[index];
    if (corner) context.lineTo(x(corner.atSeconds), y(corner.celsius) + halfPixels);
  }
  context.closePath();
  context.fillStyle = palette.band;
  context.fill();
}

/** The plan as a dotted hairline. */
export function drawPlan(frame: ChartFrame, plan: readonly CurvePoint[]): void {
  const { context, ratio, palette } = frame;
  tracePath(frame, plan);
  context.strokeStyle = palette.softInk;
  context.lineWidth = 1.6 * ratio;
  context.setLineDash([3 * ratio, 4 * ratio]);
  context.stroke();
  context.setLineDash([]);
}

/** The areas between trace and reference: warm above, cool below. */
export function drawDifference(frame: ChartFrame, pieces: readonly DifferencePiece[]): void {
  const { context, palette, x, y } = frame;
  for (const { side, points } of pieces) {
    context.beginPath();
    for (const { atSeconds, traceCelsius } of points) context.lineTo(x(atSeconds), y(traceCelsius));
    for (let index = points.length - 1; index >= 0; index--) {
      const point = points[index];
      if (point) context.lineTo(x(point.atSeconds), y(point.referenceCelsius));
    }
    context.closePath();
    context.fillStyle = side === "above" ? palette.warmFill : palette.coolFill;
    context.fill();
  }
}

/** A measured curve, broken where nothing was measured. */
export function drawCurve(
  frame: ChartFrame,
  curve: readonly CurvePoint[],
  gaps: readonly Gap[],
  style: { readonly color: string; readonly width: number },
): void {
  const { context, ratio, x, y } = frame;
  context.beginPath();
  for (const [index, point] of curve.entries()) {
    const from = curve[index - 1];
    if (!from || isAcrossGap(from, point, gaps)) context.moveTo(x(point.atSeconds), y(point.celsius));
    else context.lineTo(x(point.atSeconds), y(point.celsius));
  }
  context.strokeStyle = style.color;
  context.lineWidth = style.width * ratio;
  context.lineJoin = "round";
  context.lineCap = "round";
  context.stroke();
}

/** True where a gap lies between two neighbouring samples. */
export function isAcrossGap(from: CurvePoint, to: CurvePoint, gaps: readonly Gap[]): boolean {
  return gaps.some((gap) => from.atSeconds < gap.toSeconds && to.atSeconds > gap.fromSeconds);
}

/** A gap: hatched, with the word where it fits. */
export function drawGap(frame: ChartFrame, gap: TimeWindow, word: string): void {
  const { context, ratio, box, x, palette } = frame;
  const left = x(gap.fromSeconds);
  const width = Math.max(2 * ratio, x(gap.toSeconds) - left);
  context.save();
  context.beginPath();
  context.rect(left, box.top, width, box.height);
  context.clip();
  context.strokeStyle = palette.line;
  context.lineWidth = 1.5 * ratio;
  context.beginPath();
  for (let at = left - box.height; at < left + width; at += 9 * ratio) {
    context.moveTo(at, box.top + box.height);
    context.lineTo(at + box.height, box.top);
  }
  context.stroke();
  context.restore();
  write(frame, word, left + width / 2, box.top + box.height - 10 * ratio, {
    align: "center",
    isOnSheet: true,
  });
}

/** How a word is written. */
export interface Writing {
  readonly align?: CanvasTextAlign;
  readonly baseline?: CanvasTextBaseline;
  readonly color?: string;
  readonly weight?: number;
  /** A patch of sheet behind it, so that lines do not cross it. */
  readonly isOnSheet?: boolean;
}

/** Writes a word in the chart's type. */
export function write(frame: ChartFrame, text: string, x: number, y: number, writing: Writing = {}): void {
  const { context, palette, ratio } = frame;
  setFont(frame, writing.weight);
  context.textAlign = writing.align ?? "left";
  context.textBaseline = writing.baseline ?? "alphabetic";
  if (writing.isOnSheet) {
    const metrics = context.measureText(text);
    const pad = 4 * ratio;
    context.fillStyle = palette.sheet;
    context.fillRect(
      x - metrics.actualBoundingBoxLeft - pad,
      y - metrics.actualBoundingBoxAscent - pad,
      metrics.actualBoundingBoxLeft + metrics.actualBoundingBoxRight + 2 * pad,
      metrics.actualBoundingBoxAscent + metrics.actualBoundingBoxDescent + 2 * pad,
    );
  }
  context.fillStyle = writing.color ?? palette.softInk;
  context.fillText(text, x, y);
}

/** Width of a word in the chart's type, canvas px. */
export function textWidth(frame: ChartFrame, text: string): number {
  setFont(frame);
  return frame.context.measureText(text).width;
}

function setFont({ context, fontPixels, ratio, palette }: ChartFrame, weight = 400) {
  context.font = `${weight} ${fontPixels * ratio}px ${palette.fontFamily}`;
}

function tracePath({ context, x, y }: ChartFrame, curve: readonly CurvePoint[]) {
  context.beginPath();
  for (const { atSeconds, celsius } of curve) context.lineTo(x(atSeconds), y(celsius));
}
