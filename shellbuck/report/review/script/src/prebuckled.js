// The state before buckling: deflection and hoop force along the axis.

import { line, path, scale, ticks, words } from "./chart.js";
import { el, refill, svg } from "./dom.js";

const EDGE = { left: 66, right: 26, top: 22, bottom: 34 };

export class Prebuckled {
  constructor({ store, data, units }) {
    Object.assign(this, { store, data, units });
    this.body = el("div", { class: "rv-two" });
    store.on(["mode", "x"], () => this.draw());
  }

  draw() {
    const mode = this.data.byId.get(this.store.get("mode"));
    const found = this.data.prebuckled.find((item) => item.case === mode.case);
    refill(
      this.body,
      found
        ? [
            this.chart(found.x, found.deflection, "length", "Deflection, outward positive"),
            this.chart(found.x, found.hoop_force, "line load", "Hoop force, tension positive"),
          ]
        : el("p", { class: "rv-soft" }, "No prebuckled state is given for this load case: its prestress is uniform."),
    );
  }

  chart(x, values, quantity, title) {
    const { units } = this;
    const width = Math.max(Math.min((this.body.clientWidth || 600) * 0.48, 560), 260);
    const height = 170;
    const shown = values.map((value) => units.number(value, quantity));
    const [low, high] = [Math.min(0, ...shown), Math.max(0, ...shown)];
    const room = 0.06 * (high - low || 1);
    const length = units.number(this.data.barrel.length, "length");
    const across = scale(0, length, EDGE.left, width - EDGE.right);
    const up = scale(low - room, high + room, height - EDGE.bottom, EDGE.top);
    const here = across(units.number(this.store.get("x"), "length"));
    return svg(
      "svg",
      { width, height, class: "rv-chart", role: "img", "aria-label": `${title}, from ${low.toPrecision(3)} to ${high.toPrecision(3)} ${units.name(quantity)}` },
      words(EDGE.left, 14, `${title} [${units.name(quantity)}]`, { class: "rv-strong" }),
      ticks(low - room, high + room, 4).flatMap((value) => [
        line(EDGE.left, up(value), width - EDGE.right, up(value), "rv-grid"),
        words(EDGE.left - 6, up(value) + 4, value, { "text-anchor": "end" }),
      ]),
      ticks(0, length, 5).map((value) => words(across(value), height - EDGE.bottom + 16, value, { "text-anchor": "middle" })),
      words((EDGE.left + width - EDGE.right) / 2, height - 3, `x [${units.name("length")}]`, { "text-anchor": "middle", class: "rv-soft" }),
      line(EDGE.left, up(0), width - EDGE.right, up(0), "rv-axis"),
      line(here, EDGE.top, here, height - EDGE.bottom, "rv-cross"),
      svg("path", { d: path(shown.map((value, i) => [across(units.number(x[i], "length")), up(value)])), class: "rv-curve" }),
    );
  }
}
