// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { BOUNCE_MILLISECONDS, guardTouches } from "#kiosk-ui/components/touch-guard";

/** A page of two buttons that says which were pressed. */
function page(attributes = "") {
  document.body.innerHTML = `<div ${attributes}><button>one</button><button>two</button></div>`;
  const pressed: string[] = [];
  const buttons = [...document.querySelectorAll("button")];
  for (const button of buttons)
    button.addEventListener("click", () => pressed.push(button.textContent ?? ""));
  guardTouches(document.body);
  const press = (index: number, atMilliseconds: number, detail = 1) => {
    const click = new MouseEvent("click", { bubbles: true, composed: true, cancelable: true, detail });
    Object.defineProperty(click, "timeStamp", { value: atMilliseconds });
    buttons[index]?.dispatchEvent(click);
  };
  return { pressed, press };
}

afterEach(() => {
  document.body.replaceWith(document.createElement("body"));
});

describe("the touch guard", () => {
  it("leaves out a second touch within 300 ms, wherever it lands", () => {
    const { pressed, press } = page();
    press(0, 1000);
    press(0, 1100);
    press(1, 1000 + BOUNCE_MILLISECONDS - 1);
    press(1, 1000 + BOUNCE_MILLISECONDS);
    expect(pressed).toEqual(["one", "two"]);
  });

  it("never leaves out a key", () => {
    const { pressed, press } = page();
    press(0, 1000);
    press(1, 1050, 0);
    expect(pressed).toEqual(["one", "two"]);
  });

  it("lets different keys of a keypad follow quickly, but not the same one", () => {
    const { pressed, press } = page("data-quick");
    press(0, 1000);
    press(0, 1100);
    press(1, 1120);
    press(1, 1300);
    expect(pressed).toEqual(["one", "two", "two"]);
  });
});
