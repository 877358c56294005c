// Fields of the modes, made when first looked at.

import { Unreadable } from "./data.js";
import { Meshed, Surface } from "./meshed.js";
import { Waves } from "./waves.js";

export class Fields {
  constructor(data) {
    this.data = data;
    this.surfaces = new Map();
    this.made = new Map();
  }

  surface(name) {
    if (!this.surfaces.has(name)) {
      const stored = this.data.surfaces.get(name);
      if (!stored) throw new Unreadable(`The mesh "${name}" is not in the page.`);
      this.surfaces.set(name, new Surface(name, stored));
    }
    return this.surfaces.get(name);
  }

  /** The field of a mode by its id. */
  of(id) {
    if (!this.made.has(id)) {
      const mode = this.data.byId.get(id);
      const { barrel } = this.data;
      this.made.set(id, mode.form === "waves" ? new Waves(mode, barrel) : new Meshed(mode, barrel, this.surface(mode.surface)));
    }
    return this.made.get(id);
  }
}

/** Grid on which fields are looked at for a map of some pixels: 16 lines to a wave, or one to two pixels. */
export function grid(fields, { width, height }) {
  const [n, m] = ["n", "m"].map((key) => Math.max(...fields.map((field) => field[key])));
  const repeats = Math.max(...fields.map((field) => field.repeats));
  const columns = Math.min(Math.max(Math.ceil(width / 2), 16 * n, 240), 1600);
  return { columns: Math.ceil(columns / repeats) * repeats, rows: Math.min(Math.max(Math.ceil(height / 2), 16 * m, 60), 800) };
}

/** Pixels of the shortest half-wave of some fields on a plot. */
export function shortest(fields, { width, height }) {
  return Math.min(...fields.flatMap((field) => [field.n > 0 ? width / (2 * field.n) : Infinity, field.m > 0 ? height / field.m : Infinity]));
}

/**
 * w of two fields on one grid, the harmonic one turned to the phase that fits the other best (else the sign alone).
 *
 * With b(theta - phi) = cos(n phi) b0 + sin(n phi) b90, the overlap with a is largest at n phi = atan2(a.b90, a.b0).
 */
export function aligned(first, second, columns, rows) {
  const turned = second instanceof Waves && second.n > 0 ? "second" : first instanceof Waves && first.n > 0 ? "first" : "";
  const [fixed, free] = turned === "first" ? [second, first] : [first, second];
  const a = fixed.raster(columns, rows);
  const dot = (p, q) => {
    let sum = 0;
    for (let j = 0; j <= rows; j++) {
      const weight = j === 0 || j === rows ? 0.5 : 1;
      for (let i = 0; i < columns; i++) sum += weight * p[j * (columns + 1) + i] * q[j * (columns + 1) + i];
    }
    return sum;
  };
  let b;
  let phase = 0;
  if (turned) {
    const plain = free.raster(columns, rows);
    const quarter = free.raster(columns, rows, Math.PI / (2 * free.n));
    phase = Math.atan2(dot(a, quarter), dot(a, plain)) / free.n; // within half a wave either way
    b = free.raster(columns, rows, phase);
  } else {
    b = free.raster(columns, rows);
    if (dot(a, b) < 0) b = b.map((value) => -value);
  }
  const [w1, w2] = turned === "first" ? [b, a] : [a, b];
  const difference = w1.map((value, i) => value - w2[i]);
  const likeness = dot(a, b) ** 2 / (dot(a, a) * dot(b, b) || 1);
  return { first: w1, second: w2, difference, phase, turned, likeness, root: Math.sqrt(dot(difference, difference) / (dot(w1, w1) || 1)) };
}
