import { html, LitElement } from "lit";
import { customElement, property } from "lit/decorators.js";
import { gaps } from "#core/trace/trace";

@customElement("kiosk-app")
export class KioskApp extends LitElement {
  @property() label = "x";
  protected override render() {
    return html`<p>${this.label} ${gaps([]).length}</p>`;
  }
}
