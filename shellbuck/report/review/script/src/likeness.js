// How alike the modes of different engines are: numbers to choose a pair from, and the difference of the pair as a map.

import { el, refill, svg } from "./dom.js";
import { aligned, grid, shortest } from "./fields.js";
import { paint } from "./paint.js";
import { axes, fit, frame } from "./unrolled.js";
import { digits, percent, turn } from "./words.js";

const LEAST = 0.5; // likeness above which two modes are worth comparing unasked

export class Likeness {
  constructor({ store, data, fields, units, palette }) {
    Object.assign(this, { store, data, fields, units, palette });
    this.table = el("div", { class: "rv-scroll" });
    this.note = el("p", { class: "rv-readout", "aria-live": "polite" });
    this.canvas = el("canvas", { class: "rv-map-canvas" });
    this.over = svg("svg", { class: "rv-over", "aria-hidden": "true" });
    this.pad = el("div", { class: "rv-map-pad rv-still-map", role: "img" }, this.canvas, this.over);
    this.legend = el("p", { class: "rv-soft" });
    this.firstBox = this.box("first", 0);
    this.secondBox = this.box("second", 1);
    this.pairing = el("div", { class: "rv-row" }, el("label", {}, "Difference of ", this.firstBox), el("label", {}, "less ", this.secondBox));
    this.body = el("div", {}, this.table, this.pairing, this.pad, this.note, this.legend);
    store.on(["mode", "pair"], (state, changed) => {
      if (!changed.has("pair") && this.follow()) return; // the new pair is heard of by itself
      if (changed.has("pair")) this.draw();
      this.fill();
    });
  }

  /** A choice of one mode of the pair. */
  box(name, side) {
    const box = el(
      "select",
      { "aria-label": `${name} mode of the difference`, onchange: () => this.choose([this.firstBox.value, this.secondBox.value]) },
    );
    return box;
  }

  ofCase(name) {
    return this.data.modes.filter((mode) => mode.case === name);
  }

  /** Every pair of different modes of a load case with its likeness, the likest first. */
  alike(name) {
    const found = [];
    for (const { rows, columns, values } of this.data.likeness.filter((item) => item.case === name)) {
      rows.forEach((row, i) =>
        columns.forEach((column, j) => {
          const known = row !== column && this.data.byId.has(row) && this.data.byId.has(column);
          if (known && values[i][j] > LEAST) found.push({ pair: [row, column], value: values[i][j] });
        }),
      );
    }
    const other = ({ pair }) => Number(this.data.byId.get(pair[0]).engine !== this.data.byId.get(pair[1]).engine);
    const size = ({ value }) => Math.round(100 * value);
    return found.sort((a, b) => size(b) - size(a) || other(b) - other(a)); // of equals, two engines say more than one
  }

  /** The pair to begin with: the chosen mode and its likest partner, else the likest pair of the load case, else none. */
  best(mode) {
    const found = this.alike(mode.case);
    const own = found.find(({ pair }) => pair.includes(mode.id));
    if (own) return own.pair[0] === mode.id ? own.pair : [own.pair[1], own.pair[0]];
    return found[0]?.pair ?? null;
  }

  /** Show what is chosen for the first time. */
  begin() {
    if (this.follow()) return;
    this.draw();
    this.fill();
  }

  /** The pair follows a mode that is none of it; true where that changed the pair. */
  follow() {
    const mode = this.data.byId.get(this.store.get("mode"));
    const pair = this.store.get("pair");
    if (pair?.includes(mode.id)) return false;
    const best = this.best(mode);
    if (best && pair && best[0] === pair[0] && best[1] === pair[1]) return false;
    this.store.set({ pair: best });
    return this.store.get("pair") !== pair;
  }

  choose(pair) {
    const mode = this.store.get("mode");
    this.store.set({ pair, mode: pair.includes(mode) ? mode : pair[0] });
  }

  fill() {
    const mode = this.data.byId.get(this.store.get("mode"));
    const pair = this.store.get("pair");
    const items = this.data.likeness.filter((found) => found.case === mode.case);
    const focused = this.table.contains(document.activeElement) ? document.activeElement.dataset.pair : null;
    refill(
      this.table,
      items.length
        ? [
            el("p", {}, `Likeness of modes (subspace MAC): 1 is the same shape, 0 nothing in common; it shows agreement, not correctness. Loads in ${this.units.name("line load")}. A number selects its pair.`),
            items.map((item) => this.matrix(item, pair)),
          ].flat()
        : el("p", { class: "rv-soft" }, "No likeness of modes is given for this load case: only one engine was run."),
    );
    if (focused) [...this.table.querySelectorAll("button")].find((button) => button.dataset.pair === focused)?.focus();
    const names = this.ofCase(mode.case);
    this.pairing.hidden = names.length < 2;
    [this.firstBox, this.secondBox].forEach((box, side) => {
      refill(box, names.map((item) => el("option", { value: item.id }, this.short(item))));
      box.value = pair ? pair[side] : names[Math.min(side, names.length - 1)]?.id;
    });
  }

  short(mode) {
    return `${this.units.shown(mode.line_load, "line load")} ${mode.pair} ${mode.engine}`;
  }

  matrix(item, pair) {
    const cell = (row, column, value) => {
      const known = this.data.byId.has(row) && this.data.byId.has(column);
      const chosen = pair && ((pair[0] === row && pair[1] === column) || (pair[1] === row && pair[0] === column));
      const text = value.toFixed(2);
      const strength = Math.min(Math.max(value, 0), 1);
      const ground = [147, 162, 207].map((channel) => Math.round(255 + strength * (channel - 255)));
      return el(
        "td",
        { style: `background:rgb(${ground.join(",")})`, class: `${chosen ? "rv-paired" : ""}${value < 0.05 ? " rv-unlike" : ""}` },
        known
          ? el("button", { type: "button", "data-pair": JSON.stringify([row, column]), "aria-pressed": String(Boolean(chosen)), "aria-label": `likeness ${text}: show the difference`, onclick: () => this.choose([row, column]) }, text)
          : text,
      );
    };
    const head = (id, scope) => {
      const mode = this.data.byId.get(id);
      return el("th", { scope, title: mode?.title }, mode ? [el("span", {}, mode.engine), el("br"), `${digits(this.units.number(mode.line_load, "line load"))} ${mode.pair}`] : id);
    };
    return el(
      "table",
      { class: "rv-matrix" },
      el("thead", {}, el("tr", {}, el("td", {}), item.columns.map((id) => head(id, "col")))),
      el("tbody", {}, item.rows.map((row, i) => el("tr", {}, head(row, "row"), item.columns.map((column, j) => cell(row, column, item.values[i][j]))))),
    );
  }

  draw() {
    const pair = this.store.get("pair");
    this.pad.hidden = this.legend.hidden = !pair;
    if (!pair) {
      const { mode } = this.store.state;
      const single = this.ofCase(this.data.byId.get(mode).case).length < 2;
      this.note.textContent = single
        ? "There is no second mode in this load case to compare with."
        : `No two modes of this load case have a likeness above ${LEAST}: select a pair to see its difference.`;
      return;
    }
    let fields;
    try {
      fields = pair.map((id) => this.fields.of(id));
    } catch (error) {
      this.pad.hidden = this.legend.hidden = true;
      this.note.textContent = `The difference cannot be shown. ${error.message}`;
      return;
    }
    const plot = frame(this.data.barrel, Math.max(this.body.clientWidth || 600, 240), 190);
    const { columns, rows } = grid(fields, plot);
    const found = aligned(fields[0], fields[1], columns, rows);
    this.found = { ...found, columns, rows };
    const largest = found.difference.reduce((top, value) => Math.max(top, Math.abs(value)), 0);
    paint(this.canvas, {
      values: found.difference, columns, rows, size: [plot.width, plot.height], density: window.devicePixelRatio || 1, palette: this.palette,
      half: shortest(fields, plot),
    }); // prettier-ignore
    fit(this, plot);
    refill(this.over, axes(plot, this.data.barrel, this.units));
    const turned = found.turned ? `The ${found.turned} mode is turned by ${turn(found.phase)} to fit best. ` : "Neither mode can be turned; signs are aligned. ";
    this.note.textContent = `${turned}Largest difference ${digits(largest, 2)} of the peak, root mean square ${percent(found.root, 1)} of the first mode's; likeness of w alone ${found.likeness.toFixed(3)}.`;
    this.pad.setAttribute("aria-label", `Difference of the two modes on the unrolled barrel. ${this.note.textContent}`);
    this.legend.textContent = "Same colours and contour levels as the map above: w of the first less w of the second, each over its own peak.";
  }
}
