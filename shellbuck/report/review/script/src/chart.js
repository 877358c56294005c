// Axes and scales of the small charts.

import { svg } from "./dom.js";

/** Round values from low to high, about `count` of them. */
export function ticks(low, high, count) {
  const rough = (high - low) / Math.max(count, 1);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 2.5, 5, 10].map((s) => s * power).find((s) => s >= rough * (1 - 1e-9));
  const found = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; k++) found.push(Number((k * step).toPrecision(12)));
  return found;
}

/** A straight scale from [low, high] to [from, to] pixels. */
export function scale(low, high, from, to) {
  const factor = (to - from) / (high - low || 1);
  const map = (value) => from + (value - low) * factor;
  map.back = (pixel) => low + (pixel - from) / factor;
  return map;
}

export function path(points) {
  return points.map(([a, b], i) => `${i ? "L" : "M"}${a.toFixed(2)} ${b.toFixed(2)}`).join("");
}

export function words(x, y, text, more = {}) {
  return svg("text", { x, y, ...more }, String(text));
}

export function line(x1, y1, x2, y2, name) {
  return svg("line", { x1, y1, x2, y2, class: name });
}
