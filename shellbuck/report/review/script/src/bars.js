// Bars of shares: which waves a mode is made of, and where its energy is.

import { el, refill } from "./dom.js";
import { percent } from "./words.js";

function bars(caption, rows, note) {
  const largest = Math.max(...rows.map(([, share]) => Math.abs(share)), 1e-9);
  return el(
    "table",
    { class: "rv-bars" },
    el("caption", {}, caption),
    el(
      "tbody",
      {},
      rows.map(([name, share]) =>
        el(
          "tr",
          {},
          el("th", { scope: "row" }, name),
          el("td", { class: "rv-bar-cell" }, el("span", { class: `rv-bar${share < 0 ? " rv-minus" : ""}`, style: `width:${((100 * Math.abs(share)) / largest).toFixed(2)}%` })),
          el("td", { class: "rv-number" }, percent(share, 1)),
        ),
      ),
    ),
    note ? el("tfoot", {}, el("tr", {}, el("td", { colspan: "3" }, note))) : null,
  );
}

export class Bars {
  constructor({ store, data }) {
    Object.assign(this, { store, data });
    this.body = el("div", { class: "rv-two" });
    store.on(["mode"], () => this.fill());
    this.fill();
  }

  fill() {
    const mode = this.data.byId.get(this.store.get("mode"));
    const content = mode.content.filter(([, , share]) => share >= 0.0005).slice(0, 8);
    const rest = 1 - content.reduce((sum, [, , share]) => sum + share, 0);
    const rows = content.map(([m, n, share]) => [`m = ${m}, n = ${n}`, share]);
    if (content.length && rest > 0.0005) rows.push(["all others", rest]);
    refill(
      this.body,
      rows.length ? bars("Waves in w: share of w\u00b2", rows, "m half-waves along the axis, n full waves around") : el("p", { class: "rv-soft" }, "No wave content is given for this mode."),
      mode.energy.length ? bars("Strain energy", mode.energy) : el("p", { class: "rv-soft" }, "No energy shares are given for this mode."),
    );
  }
}
