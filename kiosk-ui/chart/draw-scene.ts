import type { CurvePoint } from "#core/heat/heat-work";
import { type TemperatureUnit, temperatureSplits } from "#kiosk-ui/chart/axis-splits";
import {
  type ChartFrame,
  clipped,
  drawBand,
  drawCurve,
  drawDifference,
  drawGap,
  drawPlan,
  write,
} from "#kiosk-ui/chart/chart-frame";
import type { ChartScene } from "#kiosk-ui/chart/chart-scene";
import { chartWords, shownTemperature } from "#kiosk-ui/chart/chart-words";
import { line } from "#kiosk-ui/chart/draw-strips";
import { type Box, insetPlace } from "#kiosk-ui/chart/inset-place";

const TRACE_WIDTH = 3.6;
const OVERLAY_WIDTH = 2;

/** Everything that lies under the trace: gaps, band, area, stages, plan, and the second bake. */
export function drawUnderTrace(frame: ChartFrame, scene: ChartScene): void {
  clipped(frame, () => {
    for (const gap of scene.gaps) drawGap(frame, gap, chartWords.gap);
    drawBand(frame, scene.plan, scene.bandKelvin);
    drawDifference(frame, scene.areas);
    drawStages(frame, scene);
    drawPlan(frame, scene.plan);
    if (scene.overlay.length > 0)
      drawCurve(frame, scene.overlay, [], { color: frame.palette.softInk, width: OVERLAY_WIDTH });
  });
}

/** The newest sample of a running bake: a line down to its time, and a dot. */
export function drawNow(frame: ChartFrame, newest: CurvePoint): void {
  const { context, ratio, palette, box } = frame;
  const x = frame.x(newest.atSeconds);
  const y = frame.y(newest.celsius);
  if (x < box.left || x > box.left + box.width) return;
  line(context, x, y, x, box.top + box.height, palette.ink, 1.4 * ratio);
  drawDot(frame, x, y);
}

/** The top, close up, in a corner where it covers nothing; not drawn where there is none. */
export function drawTop(
  frame: ChartFrame,
  scene: ChartScene,
  unit: TemperatureUnit,
  wanted: { readonly width: number; readonly height: number },
  isLive: boolean,
): void {
  if (!scene.top) return;
  const { ratio } = frame;
  const points = (curve: readonly CurvePoint[]) =>
    curve.map(({ atSeconds, celsius }) => ({ x: frame.x(atSeconds), y: frame.y(celsius) }));
  const size = { width: wanted.width * ratio, height: wanted.height * ratio };
  const box = insetPlace(frame.box, [points(scene.plan), points(scene.trace)], size, 12 * ratio);
  if (box) drawCloseUp(frame, scene, scene.top, box, unit, isLive);
}

function drawCloseUp(
  outer: ChartFrame,
  scene: ChartScene,
  { window, range }: NonNullable<ChartScene["top"]>,
  box: Box,
  unit: TemperatureUnit,
  isLive: boolean,
) {
  const { context, ratio, palette } = outer;
  const frame: ChartFrame = {
    ...outer,
    fontPixels: Math.max(13, outer.fontPixels - 1),
    box,
    x: (atSeconds) =>
      box.left + ((atSeconds - window.fromSeconds) / (window.toSeconds - window.fromSeconds)) * box.width,
    y: (celsius) =>
      box.top + ((range.toCelsius - celsius) / (range.toCelsius - range.fromCelsius)) * box.height,
  };
  context.save();
  context.beginPath();
  context.roundRect(box.left, box.top, box.width, box.height, 8 * ratio);
  context.fillStyle = palette.ground;
  context.fill();
  context.clip();
  const splits = temperatureSplits(range, 5, unit);
  for (const celsius of splits)
    line(context, box.left, frame.y(celsius), box.left + box.width, frame.y(celsius), palette.line, ratio);
  drawBand({ ...frame, palette: { ...palette, band: palette.line } }, scene.plan, scene.bandKelvin);
  drawDifference(frame, scene.areas);
  drawPlan(frame, scene.plan);
  drawCurve(frame, scene.trace, scene.gaps, { color: palette.ink, width: TRACE_WIDTH - 0.6 });
  if (isLive && scene.newest) drawDot(frame, frame.x(scene.newest.atSeconds), frame.y(scene.newest.celsius));
  write(frame, chartWords.topCloseUp, box.left + 12 * ratio, box.top + frame.fontPixels * ratio + 6 * ratio);
  for (const celsius of splits.slice(-2)) drawSplitWord(frame, celsius, unit);
  context.restore();
}

/** Left, above its line, where the climb is still far below. */
function drawSplitWord(frame: ChartFrame, celsius: number, unit: TemperatureUnit) {
  const { box, ratio } = frame;
  const y = frame.y(celsius) - 3 * ratio;
  if (y - box.top < frame.fontPixels * ratio * 2.4) return;
  write(frame, shownTemperature(celsius, unit), box.left + 12 * ratio, y);
}

function drawStages(frame: ChartFrame, { stages, window }: ChartScene) {
  const { context, ratio, palette, box, x } = frame;
  context.setLineDash([ratio, 5 * ratio]);
  for (const { fromSeconds } of stages)
    if (fromSeconds > window.fromSeconds && fromSeconds < window.toSeconds)
      line(context, x(fromSeconds), box.top, x(fromSeconds), box.top + box.height, palette.softInk, ratio);
  context.setLineDash([]);
}

function drawDot({ context, ratio, palette }: ChartFrame, x: number, y: number) {
  context.beginPath();
  context.arc(x, y, 7.5 * ratio, 0, 2 * Math.PI);
  context.fillStyle = palette.ink;
  context.fill();
}
