// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { KioskScroll } from "#kiosk-ui/components/kiosk-scroll";

/** A list so high in a place of 100, scrolled so far down; the stand-in browser has no layout of its own. */
async function saysMore(contentHeight: number, scrollTop: number) {
  const element = new KioskScroll();
  document.body.append(element);
  await element.updateComplete;
  const view = element.renderRoot.querySelector(".view");
  if (!view) throw new Error("no view");
  Object.defineProperties(view, {
    clientHeight: { value: 100 },
    scrollHeight: { value: contentHeight },
    scrollTop: { value: scrollTop },
  });
  view.dispatchEvent(new Event("scroll"));
  await element.updateComplete;
  return element.renderRoot.querySelector("p.more")?.textContent ?? null;
}

afterEach(() => document.body.replaceChildren());

describe("what may be longer than its place", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { high: 300, down: 0,   says: "more below" },
    { high: 300, down: 150, says: "more below" },
    { high: 300, down: 200, says: null },
    { high: 100, down: 0,   says: null },
  ])("of $high px, scrolled by $down, says $says", async ({ high, down, says }) => {
    expect(await saysMore(high, down)).toBe(says);
  });
});
