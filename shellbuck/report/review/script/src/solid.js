// The barrel in its frame: hands and keys, labels over the picture, one cycle of the wave.

import { BarrelDrawing } from "./barrel.js";
import { BESIDE, kept, moved, REST, WORDS } from "./camera.js";
import { el, refill, svg } from "./dom.js";
import { words } from "./chart.js";

const TURN = 2 * Math.PI;
const CYCLE = 3000; // ms
const NO_WEBGL =
  "3D drawing is not available in this browser (WebGL is off or missing). The unrolled map and the cuts below show the same mode.";

/** Amplitude [m] at which a mode is readable: waves no steeper than they are long, at most 9 % of the radius. */
export function readable(mode, { radius, length }) {
  const halves = [mode.m > 0 ? length / mode.m : Infinity, mode.n > 0 ? (Math.PI * radius) / mode.n : Infinity];
  return Math.min(0.09 * radius, 0.28 * Math.min(...halves));
}

export class Solid {
  constructor({ store, data, fields, pins }) {
    Object.assign(this, { store, data, fields, pins });
    this.calm = window.matchMedia("(prefers-reduced-motion: reduce)");
    this.canvas = el("canvas", { class: "rv-solid-canvas" });
    this.over = svg("svg", { class: "rv-over", "aria-hidden": "true" });
    this.pad = el(
      "div",
      {
        class: "rv-solid-pad",
        tabindex: "0",
        role: "application",
        "aria-label":
          "Barrel in three dimensions. Arrow keys turn it, with shift they move it, plus and minus zoom, Home resets it, space plays one cycle.",
      },
      this.canvas,
      this.over,
    );
    this.message = el("p", { class: "rv-message", role: "status", hidden: true });
    this.body = el("div", { class: "rv-solid" }, this.pad, this.message);
    this.pointers = new Map();
    this.drawing = null;
  }

  /** Begin to draw, or say in words why not; apart from the rest because a browser may take long over it. */
  begin() {
    try {
      this.drawing = new BarrelDrawing(this.canvas, this.data);
    } catch {
      this.message.textContent = NO_WEBGL;
      this.message.hidden = false;
      this.pad.hidden = true;
      return;
    }
    this.listen();
    this.take();
    this.draw();
  }

  listen() {
    const { store, pad } = this;
    store.on(["mode", "theta", "x"], (state, changed) => (changed.has("mode") ? this.take() : this.takeCuts()));
    store.on(
      ["mode", "theta", "x", "amplitude", "phase", "cut", "cutAt", "cutWide", "ghost", "contours", "shade", "cutLines", "ribs", "pose", "remarks"],
      () => this.ask(),
    );
    pad.addEventListener("pointerdown", (event) => this.down(event));
    pad.addEventListener("pointermove", (event) => this.move(event));
    for (const name of ["pointerup", "pointercancel"]) pad.addEventListener(name, (event) => this.up(event));
    pad.addEventListener(
      "wheel",
      (event) => {
        if (!event.ctrlKey && document.activeElement !== pad) return;
        event.preventDefault();
        this.zoom(Math.exp(-event.deltaY * (event.ctrlKey ? 0.01 : 0.0015)), this.pixel(event.clientX, event.clientY));
      },
      { passive: false },
    );
    pad.addEventListener("keydown", (event) => this.key(event));
    this.canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      this.message.textContent = "The browser lost the 3D drawing; it returns when the browser restores it.";
      this.message.hidden = false;
    });
    this.canvas.addEventListener("webglcontextrestored", () => {
      this.message.hidden = true;
      this.take();
      this.ask();
    });
  }

  /** Turn, move or zoom; the barrel stays in sight. */
  change(step) {
    this.store.set({ pose: kept(this.drawing.camera, moved(this.store.get("pose"), step)) });
  }

  /** Zoom about a pixel, or about the marked place where it is in sight. */
  zoom(factor, pixel = null) {
    this.drawing.camera.pose = this.store.get("pose"); // several steps may come before the next drawing
    this.change({ zoom: factor, about: this.metres(pixel ?? this.marked()) });
  }

  /** The pixel of the marked place, that of the middle where the place is out of sight. */
  marked() {
    const [wide, high] = this.drawing.camera.size;
    const { theta, x } = this.store.state;
    const [px, py] = this.stands(theta, x).pixel;
    return px >= 0 && px <= wide && py >= 0 && py <= high ? [px, py] : [wide / 2, high / 2];
  }

  /** A place of the page as a pixel of the picture. */
  pixel(clientX, clientY) {
    const box = this.pad.getBoundingClientRect();
    return [clientX - box.left, clientY - box.top];
  }

  /** A pixel in metres to the right of and above the middle of the picture. */
  metres([px, py]) {
    const { camera } = this.drawing;
    const scale = camera.scale();
    return [(px - camera.size[0] / 2) / scale, (camera.size[1] / 2 - py) / scale];
  }

  key(event) {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const side = 0.04 * this.data.barrel.radius;
    const steps = event.shiftKey
      ? { ArrowLeft: { right: -side }, ArrowRight: { right: side }, ArrowUp: { up: side }, ArrowDown: { up: -side } }
      : { ArrowLeft: { turn: 0.1 }, ArrowRight: { turn: -0.1 }, ArrowUp: { tilt: 0.1 }, ArrowDown: { tilt: -0.1 } };
    const closer = { "+": 1.15, "=": 1.15, "-": 1 / 1.15 }[event.key];
    if (steps[event.key]) this.change(steps[event.key]);
    else if (closer) this.zoom(closer);
    else if (event.key === "Home" || event.key === "0") this.store.set({ pose: REST });
    else if (event.key === " ") this.play();
    else return;
    event.preventDefault();
  }

  down(event) {
    if (event.pointerType === "mouse" && event.button > 1) return;
    this.pad.setPointerCapture(event.pointerId);
    this.pointers.set(event.pointerId, [event.clientX, event.clientY]);
    this.start = [event.clientX, event.clientY];
    this.dragged = this.pointers.size > 1;
  }

  move(event) {
    const last = this.pointers.get(event.pointerId);
    if (!last) return;
    const now = [event.clientX, event.clientY];
    const [dx, dy] = [now[0] - last[0], now[1] - last[1]];
    if (Math.hypot(now[0] - this.start[0], now[1] - this.start[1]) > 4) this.dragged = true;
    if (!this.dragged) return;
    const scale = this.drawing.camera.scale();
    if (this.pointers.size === 2) {
      const other = [...this.pointers].find(([id]) => id !== event.pointerId)[1];
      const before = Math.hypot(last[0] - other[0], last[1] - other[1]);
      const after = Math.hypot(now[0] - other[0], now[1] - other[1]);
      this.drawing.camera.pose = this.store.get("pose");
      const about = this.metres(this.pixel((now[0] + other[0]) / 2, (now[1] + other[1]) / 2));
      this.change({ zoom: before > 0 ? after / before : 1, about, right: dx / 2 / scale, up: -dy / 2 / scale });
    } else if (event.shiftKey || event.buttons === 4) this.change({ right: dx / scale, up: -dy / scale });
    else this.change({ turn: -0.008 * dx, tilt: 0.008 * dy });
    this.pointers.set(event.pointerId, now);
  }

  up(event) {
    const known = this.pointers.delete(event.pointerId);
    if (!known || this.dragged || event.type === "pointercancel") return;
    const box = this.pad.getBoundingClientRect();
    const found = this.pick(event.clientX - box.left, event.clientY - box.top);
    if (found) this.store.set(found);
  }

  /** The place on the skin under a pixel of the picture, or null. */
  pick(px, py) {
    const amplitude = this.now();
    const field = this.field();
    const { cut, cutAt, cutWide } = this.store.state;
    const hidden = (theta) => cut && (((theta - cutAt + cutWide / 2) % TURN) + TURN) % TURN < cutWide;
    const found = this.drawing.camera.pick(px, py, (theta, x) => this.data.barrel.radius + amplitude * field.at(theta, x)[2], hidden);
    return found && { theta: (found.theta + TURN) % TURN, x: found.x };
  }

  field() {
    return this.fields.of(this.store.get("mode"));
  }

  /** Amplitude of the moment [m]. */
  now() {
    return this.store.get("amplitude") * this.data.barrel.radius * Math.cos(this.store.get("phase"));
  }

  take() {
    if (!this.drawing) return;
    this.drawing.setBodies(this.field().bodies());
    this.takeCuts();
  }

  takeCuts() {
    if (this.drawing) this.drawing.setCuts(this.field(), this.store.get("theta"), this.store.get("x"));
  }

  /** Draw before the next frame of the screen. */
  ask() {
    if (!this.drawing || this.asked) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = 0;
      this.draw();
    });
  }

  draw() {
    const width = this.body.clientWidth;
    if (!width) return;
    const height = Math.max(this.body.clientHeight, 200);
    const density = Math.min(window.devicePixelRatio || 1, 2);
    const key = `${width} ${height} ${density}`;
    if (key !== this.sized) {
      this.sized = key;
      this.drawing.resize(width, height, density);
      for (const [name, value] of Object.entries({ width, height })) this.over.setAttribute(name, value);
    }
    this.drawing.take(this.store.state, this.now());
    this.drawing.draw();
    this.label();
  }

  /** One cycle, from the picture as it stands; a step of it where motion is not wanted. */
  play() {
    if (!this.drawing) return;
    if (this.calm.matches) {
      this.store.set({ phase: (this.store.get("phase") + TURN / 8) % TURN });
      return;
    }
    if (this.playing) {
      this.stop();
      return;
    }
    const first = this.store.get("phase");
    let begun = null;
    const tick = (time) => {
      begun = begun ?? time;
      const part = (time - begun) / CYCLE;
      if (part >= 1) {
        this.stop();
        this.store.set({ phase: first });
        return;
      }
      this.store.set({ phase: (first + TURN * part) % TURN });
      this.playing = requestAnimationFrame(tick);
    };
    this.playing = requestAnimationFrame(tick);
    this.store.set({ moving: true });
  }

  stop() {
    cancelAnimationFrame(this.playing);
    this.playing = 0;
    this.store.set({ moving: false });
  }

  /** Where a place of the skin stands [m] and on the picture, as drawn now. */
  stands(theta, x) {
    const { radius } = this.data.barrel;
    const amplitude = this.now();
    const [u, v, w] = this.field().at(theta, x);
    const [c, s, r] = [Math.cos(theta), Math.sin(theta), radius + amplitude * w];
    const place = [r * c - amplitude * v * s, r * s + amplitude * v * c, x + amplitude * u];
    const pixel = this.drawing ? this.drawing.camera.project(place) : null;
    return { place, pixel, w };
  }

  /** Words and marks over the picture. */
  label() {
    const { camera } = this.drawing;
    const { radius, length } = this.data.barrel;
    const { towards } = camera.axes();
    const marks = [];
    const below = towards[2] >= 0;
    for (let k = 0; k < 4; k++) {
      const theta = (k * Math.PI) / 2;
      const out = [Math.cos(theta), Math.sin(theta)];
      const front = out[0] * towards[0] + out[1] * towards[1] > 0.15;
      if (!front) continue;
      const end = below ? 0 : length;
      const at = (r, x) => camera.project([r * out[0], r * out[1], x]);
      const [from, to, text] = [at(radius, end), at(1.1 * radius, end), at(1.19 * radius, end)];
      marks.push(svg("line", { x1: from[0], y1: from[1], x2: to[0], y2: to[1], class: "rv-axis" }));
      marks.push(words(text[0], text[1] + 4, k === 0 ? "\u03b8 = 0" : `${90 * k}\u00b0`, { "text-anchor": "middle", class: "rv-halo" }));
    }
    for (const [x, text] of [[0, "x = 0"], [length, "x = L"]]) { // prettier-ignore
      const middle = camera.project([0, 0, x]);
      const beside = camera.scale() * Math.max(BESIDE * radius, 1.05 * radius + this.store.get("amplitude") * radius);
      marks.push(words(Math.max(middle[0] - beside, WORDS), middle[1] + 4, text, { "text-anchor": "end", class: "rv-halo" }));
    }
    const mark = (theta, x, node) => {
      const { pixel } = this.stands(theta, x);
      const behind = Math.cos(theta) * towards[0] + Math.sin(theta) * towards[1] < -0.02;
      node.setAttribute("transform", `translate(${pixel[0].toFixed(1)} ${pixel[1].toFixed(1)})`);
      if (behind) node.classList.add("rv-behind");
      marks.push(node);
    };
    for (const { number, theta, x } of this.pins?.places(this.store.get("mode")) ?? []) {
      mark(theta, x, svg("g", { class: "rv-pin" }, svg("circle", { r: 8 }), words(0, 4, number, { "text-anchor": "middle" })));
    }
    mark(this.store.get("theta"), this.store.get("x"), svg("g", { class: "rv-mark" }, svg("circle", { r: 6, class: "rv-spot" })));
    refill(this.over, marks);
  }
}
