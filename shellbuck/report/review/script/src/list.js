// The modes to choose from, by load case, lowest first.

import { el, freshId, refill } from "./dom.js";

/** Modes that are shown: local ones may be hidden, the chosen one never is. */
export function listed(data, { hideLocal, mode }) {
  return data.modes.filter((item) => !hideLocal || item.kind !== "local" || item.id === mode);
}

export class ModeList {
  constructor({ store, data, units }) {
    Object.assign(this, { store, data, units });
    this.group = freshId("mode");
    this.body = el("fieldset", { class: "rv-list" });
    this.fill();
    store.on(["hideLocal"], () => this.fill());
    store.on(["mode"], (state) => {
      if (state.hideLocal) this.fill();
      for (const radio of this.body.querySelectorAll("input[type=radio]")) radio.checked = radio.value === state.mode;
      this.reveal();
    });
  }

  /** Bring the chosen mode into view inside the list; the page itself stays. */
  reveal() {
    const chosen = this.body.querySelector("input[type=radio]:checked");
    if (!chosen) return;
    const list = this.body.getBoundingClientRect();
    const row = chosen.closest(".rv-mode").getBoundingClientRect();
    this.body.scrollTop += Math.min(row.top - list.top - 4, 0) + Math.max(row.bottom - list.bottom + 4, 0);
  }

  fill() {
    const { state } = this.store;
    const shown = listed(this.data, state);
    const missing = this.data.modes.length - shown.length;
    const local = this.data.modes.filter((mode) => mode.kind === "local").length;
    const cases = [...new Set(shown.map((mode) => mode.case))];
    const box = el("input", { type: "checkbox", checked: state.hideLocal, onchange: () => this.store.set({ hideLocal: box.checked }) });
    const hadFocus = this.body.contains(document.activeElement) && document.activeElement.type === "checkbox";
    refill(
      this.body,
      el("legend", {}, "Modes"),
      cases.map((name) =>
        el(
          "div",
          { class: "rv-case" },
          el("p", { class: "rv-case-name" }, name),
          shown.filter((mode) => mode.case === name).sort((a, b) => a.line_load - b.line_load).map((mode) => this.row(mode)),
        ),
      ),
      local
        ? el("label", { class: "rv-tick" }, box, ` hide local modes${missing ? `: ${missing} of ${this.data.modes.length} modes hidden` : ` (${local})`}`)
        : null,
    );
    if (hadFocus) box.focus();
  }

  row(mode) {
    const radio = el("input", {
      type: "radio",
      name: this.group,
      value: mode.id,
      checked: mode.id === this.store.get("mode"),
      onchange: () => this.store.set({ mode: mode.id }),
    });
    return el(
      "label",
      { class: "rv-mode", "data-mode": mode.id },
      radio,
      el(
        "span",
        { class: "rv-mode-text" },
        el("b", {}, this.units.shown(mode.line_load, "line load")),
        el("span", { class: "rv-pair" }, mode.pair),
        mode.rows.some((row) => row.role !== "beside") ? el("span", { class: "rv-carries" }, "margin") : null,
        el("span", { class: "rv-engine" }, `\u00d7 ${mode.ratio.toFixed(3)}, ${mode.title}${mode.kind ? `, ${mode.kind}` : ""}`),
      ),
    );
  }
}

