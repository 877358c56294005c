// What the page shows, for tests and for the curious: `window.shellbuckReview`, to be read and not to be changed.

/** Publish a viewer's state, and that of a second run beside it. */
export function publish(viewer, beside = null) {
  const found = described(viewer);
  found.beside = beside && Object.freeze(described(beside));
  window.shellbuckReview = Object.freeze(found);
}

function described(viewer) {
  const { solid, unrolled, palette, store } = viewer;
  const { drawing } = solid;
  return {
    get state() {
      return store.state;
    },
    get frames() {
      return drawing ? drawing.frames : 0;
    },
    get webgl() {
      return Boolean(drawing);
    },
    /** When all stood [ms after the navigation]. */
    ready: performance.now(),
    /** The skin at (theta, x): w over its peak, its colour, its place [m], its pixel in the picture of the barrel. */
    at(theta, x) {
      const { place, pixel, w } = solid.stands(theta, x);
      return { w, colour: palette.rgb(w), place, pixel, displacement: solid.field().at(theta, x) };
    },
    /** The colour drawn at a pixel of the barrel's picture. */
    drawn: (px, py) => drawing.read(px, py),
    /** The place under a pixel of the barrel's picture. */
    pick: (px, py) => solid.pick(px, py),
    /** The plot of the unrolled map in pixels of the page, and the pixels of its canvas. */
    map() {
      const { width, height } = unrolled.plot;
      return { width, height, pixels: [unrolled.canvas.width, unrolled.canvas.height] };
    },
    /** The difference of the chosen pair: its largest value, its phase, how alike. */
    difference() {
      const { difference, phase, turned, likeness, root } = viewer.likeness.found;
      return { largest: difference.reduce((top, value) => Math.max(top, Math.abs(value)), 0), phase, turned, likeness, root };
    },
    /** The nodes of a drawn part (x, theta, r) and their displacements (u, v, w) over the peak, of the meshed part. */
    part(name) {
      const body = solid.field().bodies().find((item) => item.part === name);
      return body ? { polar: Array.from(body.polar), shift: Array.from(body.shift), copies: body.copies } : null;
    },
  };
}
