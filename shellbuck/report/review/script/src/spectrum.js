// Load over the number of waves around, all engines in one picture. A point with a mode can be chosen.

import { line, path, scale, ticks, words } from "./chart.js";
import { el, refill, svg } from "./dom.js";

const HIGHEST = 2; // times the lowest load; what lies above is counted, not drawn
const EDGE = { left: 62, right: 14, top: 24, bottom: 40 };
const STYLES = {
  "closed form": { shape: "circle", dash: "", tone: "a" },
  "Ritz, membrane": { shape: "square", dash: "6 3", tone: "b" },
  "Ritz, edge bending": { shape: "triangle", dash: "2 3", tone: "c" },
  mesh: { shape: "diamond", dash: "", tone: "d" },
};
const SHAPES = {
  circle: (r) => `M${-r} 0a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`,
  square: (r) => `M${-r} ${-r}H${r}V${r}H${-r}Z`,
  triangle: (r) => `M0 ${-1.2 * r}L${1.1 * r} ${0.9 * r}H${-1.1 * r}Z`,
  diamond: (r) => `M0 ${-1.5 * r}L${1.3 * r} 0L0 ${1.5 * r}L${-1.3 * r} 0Z`,
};

const SECOND = "8 3 2 3";

/** [series, style] of each; a second one of the same engine is told apart by its dashes and larger, open marks. */
function styled(series) {
  const seen = new Set();
  return series.map((item) => {
    const style = Object.hasOwn(STYLES, item.engine) ? STYLES[item.engine] : STYLES["closed form"];
    const again = seen.has(item.engine);
    seen.add(item.engine);
    return [item, again ? { ...style, dash: SECOND, size: 4.5 } : { size: 3, ...style }];
  });
}

export class Spectrum {
  constructor({ store, data, units }) {
    Object.assign(this, { store, data, units });
    this.picture = svg("svg", { class: "rv-chart", role: "group" });
    this.notes = el("div", { class: "rv-key" });
    this.title = el("h3", {});
    this.body = el("div", { class: "rv-spectrum" }, this.title, this.picture, this.notes);
    store.on(["mode", "hideLocal"], () => this.draw());
  }

  draw() {
    const mode = this.data.byId.get(this.store.get("mode"));
    const found = this.data.spectra.find((item) => item.case === mode.case);
    this.title.textContent = `Load over waves around, ${mode.case}`;
    if (!found) {
      this.picture.style.display = "none";
      refill(this.notes, el("p", { class: "rv-soft" }, "No spectrum is given for this load case."));
      return;
    }
    this.picture.style.display = "";
    const { lowest } = found;
    const hidden = (id) => {
      const item = this.data.byId.get(id);
      return item && item.kind === "local" && this.store.get("hideLocal") && id !== mode.id;
    };
    const marks = found.marks.filter(([, , id]) => !hidden(id));
    const peer = this.peer?.spectra.find((item) => item.case === mode.case);
    const reach = Math.max(lowest, peer?.lowest ?? lowest);
    const own = [...found.series.flatMap((series) => series.points), ...marks].filter(([, load]) => load <= HIGHEST * reach);
    const others = peer ? [...peer.series.flatMap((series) => series.points), ...peer.marks].filter(([, load]) => load <= HIGHEST * reach) : [];
    const all = [...own, ...others]; // two runs side by side stand on one scale
    const [first, last] = [Math.min(...all.map(([n]) => n), mode.n), Math.max(...all.map(([n]) => n), mode.n)];
    const top = Math.max(...all.map(([, load]) => load), 1.25 * reach);
    const bottom = Math.min(...all.map(([, load]) => load), lowest, peer?.lowest ?? lowest);
    const width = Math.max(this.body.clientWidth || 480, 260);
    const height = 300;
    const across = scale(first - 0.6, last + 0.6, EDGE.left, width - EDGE.right);
    const up = scale(bottom - 0.06 * (top - bottom), top, height - EDGE.bottom, EDGE.top);
    const shown = (load) => this.units.number(load, "line load");
    const yTicks = ticks(shown(up.back(height - EDGE.bottom)), shown(top), 6);
    const toPixel = (value) => up((value * top) / shown(top));
    for (const [name, value] of Object.entries({ width, height })) this.picture.setAttribute(name, value);
    this.picture.setAttribute("aria-label", `Lowest loads over the number of waves around, ${mode.case}; arrow keys go from mode to mode`);
    const band = [up(Math.min(1.2 * lowest, top)), up(lowest)];
    const step = Math.ceil((last - first + 1) / Math.max(4, Math.floor(width / 42)));
    const points = [];
    refill(
      this.picture,
      svg("rect", { x: EDGE.left, y: band[0], width: width - EDGE.left - EDGE.right, height: band[1] - band[0], class: "rv-band" }),
      yTicks.map((value) => [
        line(EDGE.left, toPixel(value), width - EDGE.right, toPixel(value), "rv-grid"),
        words(EDGE.left - 6, toPixel(value) + 4, value, { "text-anchor": "end" }),
      ]).flat(),
      Array.from({ length: last - first + 1 }, (_, k) => first + k)
        .filter((n) => (n - first) % step === 0)
        .map((n) => words(across(n), height - EDGE.bottom + 16, n, { "text-anchor": "middle" })),
      svg("path", { d: `M${EDGE.left} ${EDGE.top}V${height - EDGE.bottom}H${width - EDGE.right}`, class: "rv-frame" }),
      words((EDGE.left + width - EDGE.right) / 2, height - 6, "n, full waves around", { "text-anchor": "middle" }),
      words(EDGE.left, 12, this.units.name("line load"), { class: "rv-soft" }),
      styled(found.series).map(([series, style]) => {
        const drawn = series.points.filter(([, load]) => load <= top);
        points.push(...drawn.filter(([, , id]) => id).map((point) => [...point, style]));
        return svg(
          "g",
          { class: `rv-series rv-tone-${style.tone}` },
          runs(series.points, top).map((run) => svg("path", { d: path(run.map(([n, load]) => [across(n), up(load)])), "stroke-dasharray": style.dash })),
          drawn.map(([n, load]) => svg("path", { d: SHAPES[style.shape](style.size), transform: `translate(${across(n)} ${up(load)})`, class: "rv-dot" })),
        );
      }),
    );
    points.push(...marks.filter(([, load]) => load <= top).map((point) => [...point, STYLES.mesh]));
    const buttons = points
      .filter(([, , id]) => this.data.byId.has(id))
      .sort((p, q) => p[1] - q[1])
      .map(([n, load, id, style]) => this.button(across(n), up(load), id, style, id === mode.id));
    buttons.forEach((button, at) => this.keys(button, buttons, at));
    const chosen = buttons.find((button) => button.dataset.mode === mode.id) ?? buttons[0];
    if (chosen) chosen.setAttribute("tabindex", "0");
    this.picture.append(...buttons);
    this.tell(found, marks, top);
    if (this.refocus) {
      this.refocus = false;
      chosen?.focus();
    }
  }

  button(x, y, id, style, chosen) {
    const mode = this.data.byId.get(id);
    const load = this.units.shown(mode.line_load, "line load");
    const choose = () => this.store.set({ mode: id });
    return svg(
      "g",
      {
        class: `rv-choice rv-tone-${style.tone}${chosen ? " rv-chosen" : ""}`,
        transform: `translate(${x} ${y})`,
        role: "button",
        tabindex: "-1",
        "data-mode": id,
        "aria-pressed": String(chosen),
        "aria-label": `${mode.title}: ${load}, (m, n): ${mode.pair}`,
        onclick: choose,
      },
      svg("title", {}, `${mode.title}\n${load}, ${mode.pair}`),
      svg("circle", { r: 13, class: "rv-touch" }),
      svg("circle", { r: 10, class: "rv-ring" }),
      svg("path", { d: SHAPES[style.shape](5), class: "rv-choice-mark" }),
    );
  }

  keys(button, buttons, at) {
    button.addEventListener("keydown", (event) => {
      const step = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
      if (event.key === "Enter" || event.key === " ") {
        this.refocus = true;
        this.store.set({ mode: button.dataset.mode });
        this.refocus = false;
      } else if (step) {
        buttons[(at + step + buttons.length) % buttons.length].focus();
      } else return;
      event.preventDefault();
    });
  }

  tell(found, marks, top) {
    const above = [...found.series.flatMap((series) => series.points), ...marks].filter(([, load]) => load > top).length;
    const kinds = styled(found.series).map(([series, style]) => [series.name, style]);
    if (marks.length) kinds.push(["mesh modes, discrete ribs", STYLES.mesh]);
    refill(
      this.notes,
      el(
        "ul",
        {},
        kinds.map(([name, style]) =>
          el(
            "li",
            {},
            svg(
              "svg",
              { width: 34, height: 14, class: `rv-series rv-tone-${style.tone}`, "aria-hidden": "true" },
              style.shape === "diamond" ? null : svg("path", { d: "M1 7H33", "stroke-dasharray": style.dash }),
              svg("path", { d: SHAPES[style.shape](4), transform: "translate(17 7)", class: "rv-dot" }),
            ),
            ` ${name}`,
          ),
        ),
        el("li", {}, el("span", { class: "rv-swatch" }), " within 20 % of the lowest"),
      ),
      el("p", { class: "rv-soft" }, `Ringed points have a mode: click, or Enter, selects it.${above ? ` ${above} points above ${HIGHEST} times the lowest are not drawn.` : ""}`),
    );
  }
}

/** Runs of neighbouring points that can be drawn. */
function runs(points, top) {
  const found = [];
  let run = [];
  for (const point of points) {
    if (point[1] <= top && (run.length === 0 || point[0] - run.at(-1)[0] <= 1)) run.push(point);
    else {
      if (run.length) found.push(run);
      run = point[1] <= top ? [point] : [];
    }
  }
  if (run.length) found.push(run);
  return found;
}
