// The unrolled map with the two cuts through its crosshair.

import { REST } from "./camera.js";
import { line, path, scale, ticks, words } from "./chart.js";
import { CloseView } from "./closeview.js";
import { el, refill, svg } from "./dom.js";
import { grid, shortest } from "./fields.js";
import { paint } from "./paint.js";
import { angle, degrees, signed } from "./words.js";

const TURN = 2 * Math.PI;
export const EDGE = { left: 52, right: 20, top: 18, bottom: 34 };
const CUT = 132;

/** The frame of a map at equal scale: pixels of the plot for the room there is. */
export function frame({ radius, length }, room, tallest) {
  const wide = room - EDGE.left - EDGE.right;
  const perMetre = Math.min(wide / (TURN * radius), tallest / length);
  return { width: TURN * radius * perMetre, height: Math.max(length * perMetre, 8), perMetre };
}

/** Give a map's pad, canvas and what lies over it the size and place of a plot with its scales. */
export function fit({ pad, canvas, over }, plot) {
  const [width, height] = [plot.width + EDGE.left + EDGE.right, plot.height + EDGE.top + EDGE.bottom];
  Object.assign(canvas.style, { left: `${EDGE.left}px`, top: `${EDGE.top}px` });
  Object.assign(pad.style, { width: `${width}px`, height: `${height}px` });
  for (const [name, value] of Object.entries({ width, height })) over.setAttribute(name, value);
}

/** Ticks of both directions around a plot. */
export function axes(plot, barrel, units, { bottom = true } = {}) {
  const along = scale(0, units.number(barrel.length, "length"), EDGE.top + plot.height, EDGE.top);
  const around = scale(0, 360, EDGE.left, EDGE.left + plot.width);
  const parts = [svg("rect", { x: EDGE.left, y: EDGE.top, width: plot.width, height: plot.height, class: "rv-frame" })];
  for (const value of ticks(0, units.number(barrel.length, "length"), Math.max(1, Math.min(5, plot.height / 28)))) {
    parts.push(line(EDGE.left - 4, along(value), EDGE.left, along(value), "rv-axis"));
    parts.push(words(EDGE.left - 7, along(value) + 4, value, { "text-anchor": "end" }));
  }
  if (bottom) {
    const step = plot.width < 420 ? 90 : 45;
    for (let at = 0; at <= 360; at += step) {
      parts.push(line(around(at), EDGE.top + plot.height, around(at), EDGE.top + plot.height + 4, "rv-axis"));
      parts.push(words(around(at), EDGE.top + plot.height + 16, `${at}\u00b0`, { "text-anchor": "middle" }));
    }
    parts.push(words(EDGE.left + plot.width / 2, EDGE.top + plot.height + 31, "\u03b8 around, seen from outside", { "text-anchor": "middle", class: "rv-soft" }));
  }
  parts.push(words(EDGE.left, 12, `x up, ${units.name("length")}`, { class: "rv-soft" }));
  return parts;
}

export class Unrolled {
  constructor({ store, data, fields, units, palette, pins }) {
    Object.assign(this, { store, data, fields, units, palette, pins });
    this.canvas = el("canvas", { class: "rv-map-canvas" });
    this.over = svg("svg", { class: "rv-over", "aria-hidden": "true" });
    this.pad = el(
      "div",
      {
        class: "rv-map-pad",
        tabindex: "0",
        role: "application",
        "aria-label": "Unrolled map. Arrow keys move the crosshair, with shift finely; Home goes to the peak; R writes a remark on this place.",
      },
      this.canvas,
      this.over,
    );
    this.hoop = svg("svg", { class: "rv-cut", role: "img" });
    this.axial = svg("svg", { class: "rv-cut", role: "img" });
    this.readout = el("p", { class: "rv-readout", "aria-live": "polite" });
    this.close = new CloseView({ data, units, palette });
    this.body = el("div", { class: "rv-unrolled" }, this.pad, this.axial, this.hoop, this.readout, this.close.body);
    this.listen();
    store.on(["mode", "theta", "x", "remarks"], (state, changed) => (changed.has("mode") ? this.draw() : this.follow()));
  }

  listen() {
    const pick = (event) => {
      const box = this.pad.getBoundingClientRect();
      const theta = ((event.clientX - box.left - EDGE.left) / this.plot.width) * TURN;
      const x = (1 - (event.clientY - box.top - EDGE.top) / this.plot.height) * this.data.barrel.length;
      this.store.set({ theta: Math.min(Math.max(theta, 0), TURN - 1e-9), x: Math.min(Math.max(x, 0), this.data.barrel.length) });
    };
    this.pad.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      if (event.pointerType === "mouse") this.pad.setPointerCapture(event.pointerId);
      pick(event);
    });
    this.pad.addEventListener("pointermove", (event) => {
      if (event.pointerType === "mouse" && this.pad.hasPointerCapture(event.pointerId)) pick(event);
    });
    this.pad.addEventListener("keydown", (event) => {
      const { theta, x } = this.store.state;
      const fine = event.shiftKey ? 0.2 : 1;
      const [along, around] = [(fine * this.data.barrel.length) / 50, (fine * TURN) / 120];
      const step = { ArrowLeft: [-around, 0], ArrowRight: [around, 0], ArrowUp: [0, along], ArrowDown: [0, -along] }[event.key];
      if (step) {
        this.store.set({
          theta: (theta + step[0] + TURN) % TURN,
          x: Math.min(Math.max(x + step[1], 0), this.data.barrel.length),
        });
      } else if (event.key === "Home") this.store.set(this.peak(this.raster));
      else if (event.key.toLowerCase() === "r" && !event.ctrlKey && !event.metaKey) this.pins?.writeHere();
      else return;
      event.preventDefault();
    });
  }

  /** Look at a mode before it is drawn, and give the place to look at first. */
  ahead(id) {
    this.looked = this.look(id);
    if (!this.plot) fit(this, this.looked.plot); // room for what is drawn after the barrel
    return this.peak(this.looked.raster);
  }

  /** A place of the largest |w|: of equal ones an outward one, near the eye at rest and the middle. */
  peak({ values, columns, rows }) {
    const largest = values.reduce((top, value) => Math.max(top, Math.abs(value)), 0);
    let best = { away: Infinity, i: 0, j: 0 };
    for (let j = 0; j <= rows; j++) {
      for (let i = 0; i < columns; i++) {
        const size = Math.abs(values[j * (columns + 1) + i]);
        if (size < 0.998 * largest) continue;
        const away = 1 - Math.cos((TURN * i) / columns - REST.azimuth) + Math.abs(j / rows - 0.5) + 100 * (1 - size / largest) + (values[j * (columns + 1) + i] < 0 ? 0.5 : 0);
        if (away < best.away) best = { away, i, j };
      }
    }
    return { theta: (best.i / columns) * TURN, x: (best.j / rows) * this.data.barrel.length };
  }

  /** A mode as the map shows it in the room there is: its field, its plot, w on a grid. */
  look(id) {
    const field = this.fields.of(id);
    const { barrel } = this.data;
    const room = this.body.clientWidth || 600;
    const narrowed = frame(barrel, room - CUT - 24, 360);
    const beside = room >= 760 && narrowed.height >= 110;
    const plot = beside ? narrowed : frame(barrel, room, 360);
    const { columns, rows } = grid([field], plot);
    return { id, field, beside, plot, raster: { values: field.raster(columns, rows), columns, rows } };
  }

  /** Draw the chosen mode. */
  draw() {
    const id = this.store.get("mode");
    const { field, beside, plot, raster } = this.looked?.id === id ? this.looked : this.look(id);
    this.looked = null;
    Object.assign(this, { field, beside, plot, raster });
    this.body.classList.toggle("rv-beside", beside);
    paint(this.canvas, { ...raster, size: [plot.width, plot.height], density: window.devicePixelRatio || 1, palette: this.palette, half: shortest([field], plot) });
    this.close.take(field, plot);
    fit(this, plot);
    this.follow();
  }

  /** Crosshair, pins and cuts. */
  follow() {
    if (!this.plot) return;
    const { theta, x } = this.store.state;
    const { barrel, plot } = { barrel: this.data.barrel, plot: this.plot };
    const px = EDGE.left + (theta / TURN) * plot.width;
    const py = EDGE.top + (1 - x / barrel.length) * plot.height;
    const marks = (this.pins?.places(this.store.get("mode")) ?? []).map(({ number, theta: t, x: at }) =>
      svg(
        "g",
        { class: "rv-pin", transform: `translate(${EDGE.left + (t / TURN) * plot.width} ${EDGE.top + (1 - at / barrel.length) * plot.height})` },
        svg("circle", { r: 8 }),
        words(0, 4, number, { "text-anchor": "middle" }),
      ),
    );
    refill(
      this.over,
      axes(plot, barrel, this.units),
      line(px, EDGE.top, px, EDGE.top + plot.height, "rv-cross"),
      line(EDGE.left, py, EDGE.left + plot.width, py, "rv-cross"),
      svg("circle", { cx: px, cy: py, r: 5, class: "rv-spot" }),
      marks,
    );
    const w = this.field.at(theta, x)[2];
    this.readout.textContent = `Crosshair at \u03b8 = ${angle(theta)}, x = ${this.units.shown(x, "length")}: w = ${signed(w)} of the peak.`;
    this.drawHoop(theta, x);
    this.drawAxial(theta, x);
    this.close.draw(theta, x);
  }

  drawHoop(theta, x) {
    const { plot } = this;
    const height = 92;
    const [top, low] = [18, height - 6];
    const across = scale(0, TURN, EDGE.left, EDGE.left + plot.width);
    const up = scale(-1.08, 1.08, low, top);
    const count = Math.min(Math.max(Math.ceil(plot.width), 32 * this.field.n), 2400);
    const points = Array.from({ length: count + 1 }, (_, i) => {
      const at = (TURN * i) / count;
      return [across(at), up(this.field.at(at, x)[2])];
    });
    this.hoop.setAttribute("width", plot.width + EDGE.left + EDGE.right);
    this.hoop.setAttribute("height", height);
    this.hoop.setAttribute("aria-label", `Hoop cut: w around the barrel at x = ${this.units.shown(x, "length")}`);
    refill(
      this.hoop,
      words(EDGE.left, 12, `Hoop cut at x = ${this.units.shown(x, "length")}`, { class: "rv-strong" }),
      ...curve(points, up(0), false),
      line(EDGE.left, up(0), EDGE.left + plot.width, up(0), "rv-axis"),
      ...[-1, 0, 1].map((v) => words(EDGE.left - 7, up(v) + 4, v < 0 ? "\u22121" : v, { "text-anchor": "end" })),
      line(across(theta), top, across(theta), low, "rv-cross"),
      svg("circle", { cx: across(theta), cy: up(this.field.at(theta, x)[2]), r: 4, class: "rv-spot" }),
    );
  }

  drawAxial(theta, x) {
    const { plot, beside } = this;
    const { length } = this.data.barrel;
    const [width, height] = beside ? [CUT, plot.height + EDGE.top + EDGE.bottom] : [plot.width + EDGE.left + EDGE.right, 110];
    const along = beside ? scale(0, length, EDGE.top + plot.height, EDGE.top) : scale(0, length, EDGE.left, EDGE.left + plot.width);
    const across = beside ? scale(-1.08, 1.08, 10, width - 10) : scale(-1.08, 1.08, 88, 18);
    const place = (at, w) => (beside ? [across(w), along(at)] : [along(at), across(w)]);
    const count = Math.max(200, 24 * this.field.m);
    const points = Array.from({ length: count + 1 }, (_, i) => place((length * i) / count, this.field.at(theta, (length * i) / count)[2]));
    const seg = (p, q, name) => line(p[0], p[1], q[0], q[1], name);
    this.axial.setAttribute("width", width);
    this.axial.setAttribute("height", height);
    this.axial.setAttribute("aria-label", `Axial cut: w along the axis at theta = ${degrees(theta).toFixed(1)} degrees`);
    refill(
      this.axial,
      ...curve(points, across(0), beside),
      seg(place(0, 0), place(length, 0), "rv-axis"),
      seg(place(x, -1.08), place(x, 1.08), "rv-cross"),
      svg("circle", { cx: place(x, this.field.at(theta, x)[2])[0], cy: place(x, this.field.at(theta, x)[2])[1], r: 4, class: "rv-spot" }),
      ...[-1, 0, 1].map((v) =>
        beside
          ? words(across(v), EDGE.top + plot.height + 16, v < 0 ? "\u22121" : v, { "text-anchor": "middle" })
          : words(EDGE.left - 7, across(v) + 4, v < 0 ? "\u22121" : v, { "text-anchor": "end" }),
      ),
      words(beside ? width / 2 : EDGE.left, beside ? height - 3 : 12, `${beside ? "Axial cut" : "Axial cut, x = 0 at the left,"} at ${angle(theta)}`, {
        "text-anchor": beside ? "middle" : "start",
        class: "rv-strong",
      }),
    );
  }
}

/** A curve with its outward and inward sides filled. */
function curve(points, zero, upright) {
  const clipped = (keep) => {
    const shape = points.map(([a, b]) => (upright ? [keep(a, zero), b] : [a, keep(b, zero)]));
    const [first, last] = [points[0], points.at(-1)];
    const base = upright ? [[zero, last[1]], [zero, first[1]]] : [[last[0], zero], [first[0], zero]]; // prettier-ignore
    return path([...shape, ...base]) + "Z";
  };
  return [
    svg("path", { d: clipped(upright ? Math.max : Math.min), class: "rv-outward" }),
    svg("path", { d: clipped(upright ? Math.min : Math.max), class: "rv-inward" }),
    svg("path", { d: path(points), class: "rv-curve" }),
  ];
}
