// What stands beside the picture: which mode this is and what is known of it.

import { el, refill } from "./dom.js";
import { percent, wavesInWords } from "./words.js";

export class Label {
  constructor({ store, data, units }) {
    Object.assign(this, { store, data, units });
    this.body = el("div", { class: "rv-label", "aria-live": "polite" });
    store.on(["mode"], () => this.fill());
    this.fill();
  }

  fill() {
    const mode = this.data.byId.get(this.store.get("mode"));
    const { units } = this;
    const rows = [
      ["Load case", mode.case],
      ["Line load", `${mode.load_text || units.shown(mode.line_load, "line load")} (raw, perfect barrel)`],
      ["Load factor", `${mode.ratio.toFixed(4)} of the lowest of this load case`],
      ["Margins", mode.margins],
      ["Design load", mode.design_text || "none: no allowable is made of this load"],
      ["Waves", mode.waves ?? wavesInWords(mode, this.data.barrel, units)],
      ["(m, n)", `${mode.pair}; the largest pair, (${mode.m}, ${mode.n}), contributes ${percent(mode.share)} of w\u00b2; m counts half-waves along the axis, n full waves around`],
      ["Kind", mode.kind || "not sorted into general or local"],
      ["Method", mode.engine],
      ...mode.facts,
      ["Amplitude", "arbitrary: a mode has a shape and no size; colour is radial displacement over its peak"],
    ];
    refill(
      this.body,
      el("h3", {}, mode.title),
      el("dl", {}, rows.flatMap(([name, text]) => [el("dt", {}, name), el("dd", {}, text)])),
    );
  }
}
