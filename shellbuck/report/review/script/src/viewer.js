// The views of a page's modes, laid out and linked.

import { Bars } from "./bars.js";
import { REST } from "./camera.js";
import { Palette } from "./colours.js";
import { Unreadable } from "./data.js";
import { el, slider, tick } from "./dom.js";
import { Fields } from "./fields.js";
import { Label } from "./label.js";
import { Likeness } from "./likeness.js";
import { ModeList } from "./list.js";
import { Prebuckled } from "./prebuckled.js";
import { readable, Solid } from "./solid.js";
import { Spectrum } from "./spectrum.js";
import { Store } from "./store.js";
import { Unrolled } from "./unrolled.js";
import { Units } from "./words.js";

export class Viewer {
  /** Fill a host with the views of `data`; `pins` are the remarks' places. */
  constructor(host, data, pins) {
    this.host = host;
    this.data = data;
    const first = data.byId.get(data.first);
    this.store = new Store({
      mode: first.id, theta: 0, x: data.barrel.length / 2, pair: null, hideLocal: false, pose: REST,
      amplitude: readable(first, data.barrel) / data.barrel.radius, phase: 0, moving: false, remarks: 0,
      cut: false, cutAt: 5.3, cutWide: Math.PI / 2, ghost: true, contours: true, shade: true, cutLines: true, ribs: "coloured",
    }); // prettier-ignore
    this.fields = new Fields(data);
    this.palette = new Palette(data.palette);
    this.units = new Units(data.units);
    this.ownAmplitude = false;
    this.guard();
    const tools = { store: this.store, data, fields: this.fields, units: this.units, palette: this.palette, pins };
    const remark = (words, write) => (pins ? el("button", { type: "button", class: "rv-write", onclick: write }, words) : null);
    const section = (title, ...parts) => el("section", { class: "rv-section" }, el("h3", {}, title), parts);
    this.trouble = el("p", { class: "rv-message", role: "alert", hidden: true });
    this.came = el("p", { class: "rv-came", role: "status", hidden: true });
    this.solid = new Solid(tools);
    this.unrolled = new Unrolled(tools);
    this.list = new ModeList(tools);
    this.label = new Label(tools);
    this.bars = new Bars(tools);
    this.spectrum = new Spectrum(tools);
    this.likeness = new Likeness(tools);
    this.prebuckled = new Prebuckled(tools);
    host.classList.add("rv-viewer");
    this.host.replaceChildren(
      this.trouble,
      this.came,
      el(
        "div",
        { class: "rv-top" },
        this.list.body,
        el("div", { class: "rv-stage" }, this.legend(), this.solid.body, this.controls()),
        el("div", { class: "rv-aside" }, this.label.body, remark("Remark on this mode", () => pins.writeMode())),
      ),
      section("Unrolled, equal scale, with its cuts", this.unrolled.body, remark("Remark on this place", () => pins.writeHere())),
      el("div", { class: "rv-section rv-two" }, this.spectrum.body, el("div", {}, el("h3", {}, "Wave content and strain energy"), this.bars.body)),
      section("Agreement of the engines", this.likeness.body),
      section("Before buckling", this.prebuckled.body),
    );
  }

  /** A mode comes with its place and its amplitude, in one change; a damaged one is named and the one before stays. */
  guard() {
    const set = this.store.set.bind(this.store);
    this.store.set = (changes) => {
      const { mode: id, ...others } = changes;
      if (id === undefined || id === this.store.get("mode")) {
        if (id !== undefined) this.trouble.hidden = true;
        set(others);
        return;
      }
      try {
        const place = this.unrolled.ahead(id);
        const { radius } = this.data.barrel;
        const amplitude = this.ownAmplitude ? {} : { amplitude: readable(this.data.byId.get(id), this.data.barrel) / radius };
        changes = { ...place, ...amplitude, ...changes };
        this.trouble.hidden = true;
      } catch (error) {
        if (!(error instanceof Unreadable)) throw error;
        this.trouble.textContent = `This mode cannot be shown. ${error.message}`;
        this.trouble.hidden = false;
        this.list.fill();
        changes = others;
      }
      set(changes);
    };
  }

  /** Say for which margin the mode is shown, until another mode is chosen. */
  tell(words) {
    this.came.textContent = words;
    this.came.hidden = !words;
    this.cameFor = this.store.get("mode");
  }

  /** Draw the first mode, what is read first before what may take long; resolves when all of it stands. */
  async start() {
    this.store.set(this.unrolled.ahead(this.store.get("mode")));
    this.tell(this.data.first_words && `Initial mode: ${this.data.first_words}`);
    this.store.on(["mode"], ({ mode }) => {
      if (mode !== this.cameFor) this.tell("");
    });
    await shown();
    this.solid.begin();
    await shown();
    this.unrolled.draw();
    this.spectrum.draw();
    this.likeness.begin();
    this.prebuckled.draw();
    this.width = this.host.clientWidth;
    new ResizeObserver(() => this.fit()).observe(this.host);
  }

  fit() {
    if (this.width === this.host.clientWidth || this.host.clientWidth === 0) return;
    this.width = this.host.clientWidth;
    this.unrolled.draw();
    this.spectrum.draw();
    this.likeness.draw();
    this.prebuckled.draw();
    this.solid.ask();
  }

  /** Choose a mode, and a place on it, and bring the picture into view. */
  show(id, place = null) {
    const there = place ? { theta: place.theta, x: Math.min(Math.max(place.x, 0), this.data.barrel.length) } : {};
    this.store.set({ mode: id, ...there });
    this.host.scrollIntoView({ block: "start" });
    (this.solid.drawing ? this.solid.pad : this.unrolled.pad).focus({ preventScroll: true });
  }

  legend() {
    const { store, solid } = this;
    const button = (text, name, act) => el("button", { type: "button", "aria-label": name, title: name, onclick: act }, text);
    const zoom = el(
      "span",
      { class: "rv-zoom", role: "group", "aria-label": "zoom" },
      button("+", "zoom in", () => solid.drawing && solid.zoom(1.25)),
      button("\u2212", "zoom out", () => solid.drawing && solid.zoom(0.8)),
      button("\u21ba", "view at rest", () => store.set({ pose: REST })),
    );
    const strip = el(
      "div",
      { class: "rv-colours", role: "img", "aria-label": "Colours: radial displacement over its peak, from inward at the left over zero to outward at the right" },
      el("span", {}, "inward"),
      el("span", { class: "rv-strip", style: `background:${this.palette.gradient()}` }, "0"),
      el("span", {}, "outward"),
      el("span", { class: "rv-soft" }, "w over its peak"),
    );
    return el("div", { class: "rv-legend" }, strip, zoom);
  }

  controls() {
    const { store, solid } = this;
    const full = 2 * Math.PI;
    const box = (words, key, title) => {
      const made = tick(words, store.get(key), (value) => store.set({ [key]: value }), title);
      store.on([key], (state) => (made.box.checked = state[key]));
      return made;
    };
    /** A slider of an entry; `unit` is what the entry has where the slider shows 1. */
    const bar = (words, key, [low, high, by], unit, say, act = () => {}) => {
      const made = slider(words, low, high, by, store.get(key) / unit, say, (value) => {
        act();
        store.set({ [key]: value * unit });
      });
      store.on([key], (state) => made.show((((state[key] % full) + full) % full) / unit));
      return made;
    };
    const degree = (value) => `${value.toFixed(0)}\u00b0`;
    const calm = solid.calm.matches;
    const play = el("button", { type: "button", onclick: () => solid.play() }, calm ? "Move the cycle on" : "Play one cycle");
    if (!calm) store.on(["moving"], (state) => (play.textContent = state.moving ? "Stop" : "Play one cycle"));
    const ribs = el(
      "select",
      { "aria-label": "ribs", onchange: () => store.set({ ribs: ribs.value }) },
      ["coloured", "plain", "hidden"].map((name) => el("option", { value: name }, name)),
    );
    store.on(["ribs"], (state) => (ribs.value = state.ribs));
    const opened = el(
      "div",
      { class: "rv-opened", hidden: true },
      bar("opened at", "cutAt", [0, 360, 5], full / 360, degree),
      bar("by", "cutWide", [10, 270, 5], full / 360, degree),
    );
    store.on(["cut"], (state) => (opened.hidden = !state.cut));
    return el(
      "div",
      { class: "rv-controls", role: "group", "aria-label": "the picture" },
      el(
        "div",
        { class: "rv-row" },
        play,
        bar("Amplitude", "amplitude", [0, 20, 0.1], 0.01, (value) => `${value.toFixed(1)} % of R`, () => (this.ownAmplitude = true)),
        bar("Cycle", "phase", [0, 360, 1], full / 360, degree),
      ),
      el(
        "div",
        { class: "rv-row" },
        box("undeformed", "ghost"),
        box("contours", "contours"),
        box("shading", "shade", "off: colours exactly as in the strip"),
        box("cuts", "cutLines"),
        box("cut open", "cut"),
        this.data.modes.some((mode) => mode.form === "mesh") ? el("label", { class: "rv-tick" }, "ribs ", ribs) : null,
        opened,
      ),
      el("p", { class: "rv-hint" }, "Drag turns; shift and drag moves; a click marks a place, then the wheel zooms at the pointer; + and \u2212 zoom at the marked place."),
    );
  }
}

/** After the browser has shown what stands. */
function shown() {
  return new Promise((done) => {
    const late = setTimeout(done, document.hidden ? 0 : 1000); // a page in the background has no frames
    requestAnimationFrame(() => {
      clearTimeout(late);
      setTimeout(done);
    });
  });
}
