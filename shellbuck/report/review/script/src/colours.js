// Colours of the radial displacement over its peak: straight lines between the palette's entries.

/** [red, green, blue] of 0 to 255 of a colour written "#rrggbb". */
export function channels(hex) {
  return [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16));
}

export class Palette {
  constructor(entries, steps = 1024) {
    this.entries = entries;
    this.stops = entries.map(channels);
    this.steps = steps;
    this.table = new Uint8ClampedArray(3 * (steps + 1));
    for (let i = 0; i <= steps; i++) this.table.set(this.exact((2 * i) / steps - 1), 3 * i);
  }

  /** [red, green, blue] of 0 to 255, not rounded, of a value in -1 (inward) to 1 (outward). */
  exact(value) {
    const last = this.stops.length - 1;
    const at = Math.min(Math.max((value + 1) / 2, 0), 1) * last;
    const i = Math.min(Math.floor(at), last - 1);
    return this.stops[i].map((low, c) => low + (at - i) * (this.stops[i + 1][c] - low));
  }

  /** Rounded channels. */
  rgb(value) {
    return this.exact(value).map(Math.round);
  }

  css(value) {
    return `rgb(${this.rgb(value).join(",")})`;
  }

  /** The strip of a legend, inward at the left. */
  gradient() {
    return `linear-gradient(to right, ${this.entries.join(", ")})`;
  }
}
