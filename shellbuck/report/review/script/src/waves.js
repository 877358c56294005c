// A mode of one harmonic around: u = U(x) cos n theta, v = V(x) sin n theta, w = W(x) cos n theta, and its twin part.

import { unpack } from "./data.js";

const LINES_ALONG = 160;

export class Waves {
  constructor(mode, barrel) {
    const read = (key) => (mode[key] ? unpack(mode[key], `${mode.id}, ${key}`).values : null);
    this.n = mode.n;
    this.m = mode.m;
    this.barrel = barrel;
    this.x = read("x");
    this.main = ["u", "v", "w"].map(read);
    this.repeats = 1;
    this.twin = mode.twin_w ? ["twin_u", "twin_v", "twin_w"].map(read) : null;
  }

  /** Parts of the profile (u, v, w) at x, by straight lines between the samples. */
  profile(family, x, out) {
    const { x: at } = this;
    let low = 0;
    let high = at.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (at[middle] <= x) low = middle;
      else high = middle;
    }
    const t = Math.min(Math.max((x - at[low]) / (at[high] - at[low] || 1), 0), 1);
    for (let k = 0; k < 3; k++) out[k] = family[k][low] + t * (family[k][high] - family[k][low]);
    return out;
  }

  /** Displacement [u, v, w] over the peak at (theta, x). */
  at(theta, x) {
    const c = Math.cos(this.n * theta);
    const s = Math.sin(this.n * theta);
    const p = this.profile(this.main, x, [0, 0, 0]);
    const found = [p[0] * c, p[1] * s, p[2] * c];
    if (this.twin) {
      const q = this.profile(this.twin, x, [0, 0, 0]);
      found[0] += q[0] * s;
      found[1] -= q[1] * c;
      found[2] += q[2] * s;
    }
    return found;
  }

  /** w, turned by an angle, on a grid of (rows + 1) by (columns + 1) points, x along the rows, theta = 0 to 2 pi along a row. */
  raster(columns, rows, turned = 0) {
    const values = new Float32Array((rows + 1) * (columns + 1));
    const c = new Float64Array(columns + 1);
    const s = new Float64Array(columns + 1);
    for (let i = 0; i <= columns; i++) {
      const at = this.n * ((2 * Math.PI * i) / columns - turned);
      c[i] = Math.cos(at);
      s[i] = Math.sin(at);
    }
    const p = [0, 0, 0];
    for (let j = 0; j <= rows; j++) {
      const x = (this.barrel.length * j) / rows;
      const w = this.profile(this.main, x, p)[2];
      const t = this.twin ? this.profile(this.twin, x, p)[2] : 0;
      for (let i = 0; i <= columns; i++) values[j * (columns + 1) + i] = w * c[i] + t * s[i];
    }
    return values;
  }

  /** What is drawn: the skin, as one closed grid. */
  bodies() {
    const around = Math.min(Math.max(24 * this.n, 192), 600);
    const stride = Math.ceil((this.x.length - 1) / LINES_ALONG) || 1;
    const lines = [];
    for (let k = 0; k < this.x.length - 1; k += stride) lines.push(k);
    lines.push(this.x.length - 1);
    const count = lines.length * (around + 1);
    const polar = new Float32Array(3 * count);
    const shift = new Float32Array(3 * count);
    let at = 0;
    const turns = Array.from({ length: around + 1 }, (_, i) => (2 * Math.PI * i) / around);
    const cosines = turns.map((theta) => Math.cos(this.n * theta));
    const sines = turns.map((theta) => Math.sin(this.n * theta));
    const nothing = this.x.map(() => 0);
    const [u, v, w] = this.main;
    const [twinU, twinV, twinW] = this.twin ?? [nothing, nothing, nothing];
    for (const k of lines) {
      for (let i = 0; i <= around; i++, at += 3) {
        const [c, s] = [cosines[i], sines[i]];
        polar[at] = this.x[k];
        polar[at + 1] = turns[i];
        polar[at + 2] = this.barrel.radius;
        shift[at] = u[k] * c + twinU[k] * s;
        shift[at + 1] = v[k] * s - twinV[k] * c;
        shift[at + 2] = w[k] * c + twinW[k] * s;
      }
    }
    const index = new Uint32Array(6 * (lines.length - 1) * around);
    at = 0;
    for (let j = 0; j < lines.length - 1; j++) {
      for (let i = 0; i < around; i++, at += 6) {
        const a = j * (around + 1) + i;
        const b = a + around + 1;
        index[at] = index[at + 3] = a;
        index[at + 1] = a + 1;
        index[at + 2] = index[at + 4] = b + 1;
        index[at + 5] = b;
      }
    }
    const closes = lines.map((_, j) => [j * (around + 1), j * (around + 1) + around]);
    return [{ part: "skin", skin: true, polar, shift, index, closes, copies: [[0, 1, 1]] }];
  }
}
