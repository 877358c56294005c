// A mode on a mesh with the ribs as they are. The whole barrel is the meshed part reflected again and again.

import { unpack, Unreadable } from "./data.js";

const TURN = 2 * Math.PI;

/** The mesh of some modes, read once: facets that cross theta = 2 pi are unrolled, the skin is filed for look-up. */
export class Surface {
  constructor(name, stored) {
    const points = unpack(stored.points, `${name}, points`);
    const facets = unpack(stored.facets, `${name}, facets`);
    this.part = unpack(stored.part, `${name}, part`).values;
    this.parts = stored.parts;
    this.angle = stored.mirror ? stored.angle : TURN;
    this.mirror = stored.mirror;
    const nodes = points.shape[0];
    this.nodes = nodes;
    if (facets.values.some((node) => node >= nodes)) throw new Unreadable(`${name}: a facet names a node that is not there.`);
    this.source = Array.from({ length: nodes }, (_, i) => i);
    const polar = Array.from(points.values);
    this.facets = Uint32Array.from(facets.values);
    const beyond = new Map();
    for (let f = 0; f < this.facets.length; f += 4) {
      const corner = Array.from(this.facets.subarray(f, f + 4));
      const theta = corner.map((node) => polar[3 * node + 1]);
      if (Math.max(...theta) - Math.min(...theta) <= Math.PI) continue;
      corner.forEach((node, k) => {
        if (theta[k] > Math.PI) return;
        if (!beyond.has(node)) {
          beyond.set(node, this.source.length);
          this.source.push(node);
          polar.push(polar[3 * node], polar[3 * node + 1] + TURN, polar[3 * node + 2]);
        }
        this.facets[f + k] = beyond.get(node);
      });
    }
    this.polar = Float32Array.from(polar);
    this.start = Infinity;
    for (let i = 0; i < nodes; i++) this.start = Math.min(this.start, points.values[3 * i + 1]);
    this.fileSkin();
  }

  /** Triangles of the skin in bins of (theta, x). */
  fileSkin() {
    const skin = this.parts.indexOf("skin");
    this.triangles = [];
    let low = Infinity;
    let high = -Infinity;
    for (let f = 0; f < this.part.length; f++) {
      if (this.part[f] !== skin) continue;
      const [a, b, c, d] = this.facets.subarray(4 * f, 4 * f + 4);
      this.triangles.push([a, b, c]);
      if (c !== d) this.triangles.push([a, c, d]);
    }
    for (const node of this.triangles.flat()) {
      low = Math.min(low, this.polar[3 * node]);
      high = Math.max(high, this.polar[3 * node]);
    }
    const side = Math.max(1, Math.round(Math.sqrt(this.triangles.length / 4)));
    this.bins = { side, low, length: high - low, of: Array.from({ length: side * side }, () => []) };
    this.triangles.forEach((triangle, t) => {
      const range = (k) => triangle.map((node) => this.bin(k, this.polar[3 * node + k]));
      const rows = range(0);
      const columns = range(1);
      for (let i = Math.min(...rows); i <= Math.max(...rows); i++) {
        for (let j = Math.min(...columns); j <= Math.max(...columns); j++) this.bins.of[i * side + j].push(t);
      }
    });
  }

  bin(k, value) {
    const { side, low, length } = this.bins;
    const part = k === 0 ? (value - low) / length : (value - this.start) / this.angle;
    return Math.min(Math.max(Math.floor(part * side), 0), side - 1);
  }

  /** theta brought into the meshed part: [angle past its start, whether an odd number of mirrors lies between]. */
  fold(theta) {
    const period = this.mirror ? 2 * this.angle : TURN;
    const turned = (((theta - this.start) % period) + period) % period;
    return this.mirror && turned > this.angle ? [2 * this.angle - turned, true] : [turned, false];
  }

  /** Where (theta, x) falls on the skin of the meshed part: nodes, weights, and whether a mirror lies between. */
  locate(theta, x) {
    const [turned, mirrored] = this.fold(theta);
    const at = this.start + turned;
    const p = this.polar;
    let best = null;
    for (const t of this.bins.of[this.bin(0, x) * this.bins.side + this.bin(1, at)]) {
      const [a, b, c] = this.triangles[t];
      const x0 = p[3 * a], y0 = p[3 * a + 1]; // prettier-ignore
      const ux = p[3 * b] - x0, uy = p[3 * b + 1] - y0, vx = p[3 * c] - x0, vy = p[3 * c + 1] - y0; // prettier-ignore
      const area = ux * vy - uy * vx;
      if (area === 0) continue;
      const s = ((x - x0) * vy - (at - y0) * vx) / area;
      const r = (ux * (at - y0) - uy * (x - x0)) / area;
      const inside = Math.min(s, r, 1 - s - r);
      if (best === null || inside > best.inside) best = { inside, nodes: [a, b, c], weights: [1 - s - r, s, r], mirrored };
      if (inside >= 0) break;
    }
    return best;
  }
}

export class Meshed {
  constructor(mode, barrel, surface) {
    this.barrel = barrel;
    this.surface = surface;
    this.n = mode.n;
    this.m = mode.m;
    const found = unpack(mode.displacement, `${mode.id}, displacement`);
    if (found.shape[0] !== surface.nodes || found.shape[1] !== 3) {
      throw new Unreadable(`${mode.id}: ${found.shape[0]} displacements do not belong to ${surface.nodes} nodes.`);
    }
    this.displacement = found.values;
    this.sign = mode.symmetry === "odd" ? -1 : 1;
  }

  at(theta, x) {
    const found = this.surface.locate(theta, x);
    const value = [0, 0, 0];
    if (!found) return value;
    found.nodes.forEach((node, i) => {
      const from = 3 * this.surface.source[node];
      for (let k = 0; k < 3; k++) value[k] += found.weights[i] * this.displacement[from + k];
    });
    if (!found.mirrored) return value;
    return [this.sign * value[0], -this.sign * value[1], this.sign * value[2]];
  }

  /** Copies of the meshed part around: grids whose columns are a multiple of it are read from one copy. */
  get repeats() {
    return this.surface.mirror ? Math.round(TURN / this.surface.angle) : 1;
  }

  raster(columns, rows) {
    const values = new Float32Array((rows + 1) * (columns + 1));
    const read = new Map();
    for (let i = 0; i <= columns; i++) {
      const [turned, mirrored] = this.surface.fold((TURN * i) / columns);
      const key = Math.round(turned * 1e7);
      if (!read.has(key)) {
        const theta = this.surface.start + turned;
        read.set(key, Float32Array.from({ length: rows + 1 }, (_, j) => this.at(theta, (this.barrel.length * j) / rows)[2]));
      }
      const column = read.get(key);
      const sign = mirrored ? this.sign : 1;
      for (let j = 0; j <= rows; j++) values[j * (columns + 1) + i] = sign * column[j];
    }
    return values;
  }

  /** [offset, direction, sign] of every copy: a point stands at offset + direction theta, its displacement takes the sign. */
  copies() {
    const { angle, start, mirror } = this.surface;
    if (!mirror) return [[0, 1, 1]];
    return Array.from({ length: Math.round(TURN / angle) }, (_, j) =>
      j % 2 === 0 ? [j * angle, 1, 1] : [2 * start + (j + 1) * angle, -1, this.sign],
    );
  }

  /** What is drawn: every part of the mesh with nodes of its own. */
  bodies() {
    const { surface } = this;
    return surface.parts.map((part, which) => {
      const renumbered = new Map();
      const index = [];
      const own = (node) => {
        if (!renumbered.has(node)) renumbered.set(node, renumbered.size);
        return renumbered.get(node);
      };
      for (let f = 0; f < surface.part.length; f++) {
        if (surface.part[f] !== which) continue;
        const [a, b, c, d] = Array.from(surface.facets.subarray(4 * f, 4 * f + 4), own);
        index.push(a, b, c);
        if (c !== d) index.push(a, c, d);
      }
      const polar = new Float32Array(3 * renumbered.size);
      const shift = new Float32Array(3 * renumbered.size);
      for (const [node, to] of renumbered) {
        polar.set(surface.polar.subarray(3 * node, 3 * node + 3), 3 * to);
        const from = 3 * surface.source[node];
        shift.set(this.displacement.subarray(from, from + 3), 3 * to);
      }
      return { part, skin: part === "skin", polar, shift, index: Uint32Array.from(index), copies: this.copies() };
    });
  }
}
