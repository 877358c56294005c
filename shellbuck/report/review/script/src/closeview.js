// Waves too fine for the map: the place of the crosshair, enlarged.

import { el, refill, svg } from "./dom.js";
import { shortest } from "./fields.js";
import { paint } from "./paint.js";

const TURN = 2 * Math.PI;
const FINE = 18; // pixels of a half-wave below which the map loses lines and signs
const WANTED = 44;

export class CloseView {
  constructor({ data, units, palette }) {
    Object.assign(this, { data, units, palette });
    this.canvas = el("canvas", { class: "rv-close-canvas" });
    this.over = svg("svg", { class: "rv-over", "aria-hidden": "true" });
    this.pad = el("div", { class: "rv-close-pad", role: "img" }, this.canvas, this.over);
    this.words = el("p", { class: "rv-soft" });
    this.body = el("div", { class: "rv-close", hidden: true }, this.words, this.pad);
  }

  take(field, plot) {
    const half = shortest([field], plot);
    this.field = field;
    this.plot = plot;
    this.enlarged = half < FINE ? Math.ceil(WANTED / half) : 0;
    this.body.hidden = !this.enlarged;
  }

  /** Paint the surroundings of a place at equal scale. */
  draw(theta, x) {
    if (!this.enlarged) return;
    const { radius, length } = this.data.barrel;
    const perMetre = this.plot.perMetre * this.enlarged;
    const width = Math.min(this.plot.width, 520, TURN * radius * perMetre);
    const height = Math.min(260, length * perMetre);
    const tall = height / perMetre;
    const low = Math.min(Math.max(x - tall / 2, 0), length - tall);
    const left = theta - width / perMetre / radius / 2;
    const [columns, rows] = [Math.ceil(width / 2), Math.ceil(height / 2)];
    const values = new Float32Array((columns + 1) * (rows + 1));
    for (let j = 0; j <= rows; j++) {
      for (let i = 0; i <= columns; i++) {
        const at = left + ((i / columns) * width) / perMetre / radius;
        values[j * (columns + 1) + i] = this.field.at(at, low + (tall * j) / rows)[2];
      }
    }
    paint(this.canvas, { values, columns, rows, size: [width, height], density: window.devicePixelRatio || 1, palette: this.palette });
    Object.assign(this.canvas.style, { left: "0px", top: "0px" });
    Object.assign(this.pad.style, { width: `${width}px`, height: `${height}px` });
    for (const [name, value] of Object.entries({ width, height })) this.over.setAttribute(name, value);
    const [cx, cy] = [width / 2, height * (1 - (x - low) / tall)];
    refill(
      this.over,
      svg("rect", { x: 0.5, y: 0.5, width: width - 1, height: height - 1, class: "rv-frame" }),
      svg("circle", { cx, cy, r: 5, class: "rv-spot" }),
    );
    this.words.textContent = `The waves are too fine for signs at this scale. Around the crosshair, ${this.enlarged} times larger: ${this.units.shown(width / perMetre, "length", 3)} around, ${this.units.shown(tall, "length", 3)} along.`;
    this.pad.setAttribute("aria-label", this.words.textContent);
  }
}
