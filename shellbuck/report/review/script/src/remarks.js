// What a reviewer writes on the page: remarks pinned to modes, places and margins, a verdict, a name.

import { el, freshId, refill } from "./dom.js";
import { checked, fileName, pageWith, readEarlier, readRemarks, Refused, save, VERDICTS } from "./keeping.js";
import { Notes } from "./notes.js";
import { same } from "./words.js";

export class Remarks extends Notes {
  /** `copy` is the untouched document, `stored` and `earlier` the texts of the blocks of remarks and of earlier verdicts. */
  constructor({ host, copy, stored, earlier, data }) {
    super(data);
    Object.assign(this, { host, copy });
    this.viewer = null;
    this.unsaved = false;
    this.editing = null;
    this.own = new Set(); // ids of the remarks written since the page was opened
    this.earlier = readEarlier(earlier);
    this.status = el("p", { class: "rv-status", role: "status" });
    let trouble = "";
    if (stored && stored.trim() && stored.trim() !== "null") {
      try {
        this.take(checked(JSON.parse(stored)), host.dataset.given !== undefined);
      } catch (error) {
        trouble = error instanceof Refused ? error.message : "The remarks of this page are cut short or damaged; none are shown.";
      }
    }
    this.build();
    this.say(trouble);
    window.addEventListener("beforeunload", (event) => {
      if (this.unsaved || this.text.value.trim()) event.preventDefault();
    });
  }

  say(words) {
    this.status.textContent = words;
  }

  changed(words) {
    this.unsaved = true;
    this.fill();
    this.say(`${words} Not saved yet.`);
    if (this.viewer) this.viewer.store.set({ remarks: this.viewer.store.get("remarks") + 1 });
  }

  chosenMode() {
    const mode = this.viewer && this.data.byId.get(this.viewer.store.get("mode"));
    return mode ? { mode: mode.id, title: mode.title, case: mode.case } : null;
  }

  writeMode() {
    const mode = this.chosenMode();
    if (mode) this.write({ kind: "mode", ...mode });
  }

  writeHere() {
    const mode = this.chosenMode();
    const { x, theta } = this.viewer.store.state;
    if (mode) this.write({ kind: "place", ...mode, x: Number(x.toPrecision(6)), theta: Number(theta.toPrecision(6)) });
  }

  /** Begin a remark on something. */
  write(on) {
    this.on = on;
    this.editing = null;
    this.fill();
    this.host.scrollIntoView({ block: "start" });
    this.text.focus();
  }

  // the form

  build() {
    const id = (stem) => freshId(stem);
    const [textId, nameId] = [id("text"), id("name")];
    this.target = el("p", { class: "rv-target" });
    this.text = el("textarea", { id: textId, rows: "3", oninput: () => this.buttons() });
    this.name = el("input", { id: nameId, type: "text", autocomplete: "name", onchange: () => this.rename() });
    this.add = el("button", { type: "submit" }, "Add the remark");
    this.drop = el("button", { type: "button", onclick: () => this.cancel() }, "Leave it");
    this.pick = el("select", { "aria-label": "what the remark is on", onchange: () => this.picked() });
    this.file = el("input", { type: "file", accept: ".json,.html,.htm", "aria-label": "file of remarks or saved page", onchange: () => this.load() });
    const group = id("verdict");
    this.verdicts = ["", ...VERDICTS].map((word) =>
      el("input", { type: "radio", name: group, value: word, onchange: () => this.judge(word) }),
    );
    this.then = el("div", { class: "rv-soft rv-then" });
    this.list = el("ol", { class: "rv-remarks" });
    this.none = el("p", { class: "rv-soft" }, "No remarks yet.");
    this.on = { kind: "page" };
    const form = el(
      "form",
      { class: "rv-form", onsubmit: (event) => this.submit(event) },
      el("h3", {}, "Write a remark"),
      el("label", {}, "On ", this.pick),
      this.target,
      el("label", { for: textId }, "Remark"),
      this.text,
      el("div", { class: "rv-row" }, this.add, this.drop),
    );
    const keep = el(
      "div",
      { class: "rv-keep" },
      el("h3", {}, "Keep and fetch"),
      el(
        "div",
        { class: "rv-row" },
        el("button", { type: "button", onclick: () => this.savePage() }, "Save a copy of this page"),
        el("button", { type: "button", onclick: () => this.saveRemarks() }, "Save the remarks as JSON"),
      ),
      el("label", { class: "rv-file" }, "Load remarks from a JSON or a saved page ", this.file),
    );
    refill(
      this.host,
      el(
        "fieldset",
        { class: "rv-verdict" },
        el("legend", {}, "Verdict on the modes"),
        this.verdicts.map((radio) => el("label", { class: "rv-tick" }, radio, ` ${radio.value || "none yet"}`)),
        el("label", { for: nameId, class: "rv-name" }, "Reviewer "),
        this.name,
        this.then,
      ),
      this.none,
      this.list,
      form,
      keep,
      this.status,
    );
    this.host.hidden = false;
    this.fill();
  }

  options() {
    const mode = this.chosenMode();
    const found = [{ kind: "page" }];
    if (mode) {
      const { x, theta } = this.viewer.store.state;
      found.push({ kind: "mode", ...mode }, { kind: "place", ...mode, x: Number(x.toPrecision(6)), theta: Number(theta.toPrecision(6)) });
    }
    for (const row of this.data?.margins ?? []) found.push({ kind: "margin", case: row.case, row: row.mode });
    return found;
  }

  fill() {
    const { kept } = this;
    for (const radio of this.verdicts) radio.checked = radio.value === kept.verdict;
    this.name.value = kept.reviewer;
    refill(this.then, this.earlier.map((item) => el("p", {}, this.verdictThen(item))));
    this.then.hidden = this.earlier.length === 0;
    this.none.hidden = kept.remarks.length > 0;
    this.offer();
    refill(this.list, kept.remarks.map((remark, i) => this.row(remark, i)));
    this.buttons();
  }

  /** What can be remarked on. */
  offer() {
    this.offered = this.options();
    const key = JSON.stringify(this.on);
    if (!this.offered.some((on) => JSON.stringify(on) === key)) this.offered.push(this.on);
    refill(this.pick, this.offered.map((on, i) => el("option", { value: String(i) }, this.named(on))));
    this.pick.value = String(this.offered.findIndex((on) => JSON.stringify(on) === key));
    const number = this.numbers({ on: this.on, then: this.value(this.on), now: null });
    this.target.textContent = number ? `On this page: ${number}.` : "";
  }

  /** The choices name the mode and the place that are chosen now. */
  follow() {
    if (this.text.value.trim() === "" && this.editing === null && this.on.kind !== "margin" && this.on.kind !== "page") {
      this.on = this.options().find((on) => on.kind === this.on.kind) ?? { kind: "page" };
    }
    this.offer();
  }

  buttons() {
    const empty = this.text.value.trim() === "";
    this.add.disabled = empty;
    this.add.textContent = this.editing === null ? "Add the remark" : `Keep the change of remark ${this.editing + 1}`;
    this.drop.hidden = empty && this.editing === null;
  }

  row(remark, i) {
    const numbers = this.numbers(remark);
    const moved = remark.now !== null && !(remark.then !== null && same(remark.now, remark.then));
    const button = (words, act, label) => el("button", { type: "button", onclick: act, "aria-label": `${label} remark ${i + 1}` }, words);
    const reachable = this.reachable(remark.on);
    return el(
      "li",
      { "data-remark": remark.id },
      el("p", { class: "rv-on" }, this.named(remark.on), numbers ? el("span", { class: moved ? "rv-moved" : "rv-soft" }, ` ${moved ? "\u0394 " : ""}${numbers}`) : null),
      el("p", { class: "rv-text" }, remark.text),
      el("p", { class: "rv-soft" }, [remark.author || "no name", remark.when.replace("T", " ").replace("Z", " UTC")].filter(Boolean).join(", ")),
      el(
        "div",
        { class: "rv-row rv-tools" },
        reachable ? button("Go there", () => this.jump(remark.on), "go to what is meant by") : el("span", { class: "rv-soft" }, "not in this page"),
        button("Change", () => this.edit(i), "change"),
        button("Delete", () => this.remove(i), "delete"),
      ),
    );
  }

  reachable(on) {
    if (on.kind === "page") return true;
    if (on.kind === "margin") return this.cell(on) !== null;
    return this.viewer !== null && this.mode(on) !== null;
  }

  cell(on) {
    return [...document.querySelectorAll("[data-row]")].find((cell) => cell.dataset.row === on.row && cell.dataset.case === on.case) ?? null;
  }

  // acts

  picked() {
    this.on = this.offered[Number(this.pick.value)];
    this.fill();
    this.pick.focus();
  }

  submit(event) {
    event.preventDefault();
    const words = this.text.value.trim();
    if (!words) return;
    const remarks = [...this.kept.remarks];
    const when = `${new Date().toISOString().slice(0, 16)}Z`;
    if (this.editing === null) {
      const last = Math.max(0, ...remarks.map(({ id }) => Number(/^r(\d+)$/.exec(id)?.[1] ?? 0)));
      this.own.add(`r${last + 1}`);
      remarks.push({ id: `r${last + 1}`, on: this.on, then: this.value(this.on), now: null, text: words, author: this.kept.reviewer, when });
    } else remarks[this.editing] = { ...remarks[this.editing], on: this.on, text: words, author: this.kept.reviewer || remarks[this.editing].author, when };
    const done = this.editing === null ? `Remark ${remarks.length} added.` : `Remark ${this.editing + 1} changed.`;
    this.kept = { ...this.kept, remarks };
    this.editing = null;
    this.text.value = "";
    this.changed(done);
    this.text.focus();
  }

  cancel() {
    this.editing = null;
    this.text.value = "";
    this.fill();
    this.text.focus();
  }

  edit(i) {
    this.editing = i;
    this.on = this.kept.remarks[i].on;
    this.text.value = this.kept.remarks[i].text;
    this.fill();
    this.text.focus();
  }

  remove(i) {
    this.own.delete(this.kept.remarks[i].id);
    this.kept = { ...this.kept, remarks: this.kept.remarks.filter((_, k) => k !== i) };
    if (this.editing !== null) this.cancel();
    this.changed(`Remark ${i + 1} deleted.`);
    this.text.focus();
  }

  judge(verdict) {
    this.kept = { ...this.kept, verdict };
    this.changed(verdict ? `Verdict: ${verdict}.` : "Verdict withdrawn.");
  }

  rename() {
    const reviewer = this.name.value.trim();
    const remarks = this.kept.remarks.map((item) => (this.own.has(item.id) && !item.author ? { ...item, author: reviewer } : item));
    this.kept = { ...this.kept, reviewer, remarks };
    this.changed("Name taken.");
  }

  jump(on) {
    if (on.kind === "margin") {
      const cell = this.cell(on);
      cell.scrollIntoView({ block: "center" });
      cell.querySelector("button")?.focus();
      return;
    }
    if (on.kind === "page") {
      window.scrollTo(0, 0);
      return;
    }
    this.viewer.show(this.mode(on).id, on.kind === "place" ? on : null);
  }

  // files

  async load() {
    const [file] = this.file.files;
    this.file.value = "";
    if (!file) return;
    try {
      const { count, twice, foreign, page } = this.take(readRemarks(await file.text()));
      const more = twice ? `; ${twice} already on this page` : "";
      const other = foreign ? ` They were written on another run (${page.title || "no title"}${page.revision ? `, revision ${page.revision}` : ""}): values then and now are shown with them; a verdict belongs to its run.` : "";
      this.changed(`${count} remark${count === 1 ? "" : "s"} loaded${more}.${other}`);
    } catch (error) {
      this.say(error instanceof Refused ? error.message : "The file could not be read.");
    }
  }

  savePage() {
    save(fileName(this.page().title, "remarks.html"), pageWith(this.copy, this.whole(), this.earlier, this.lines()), "text/html");
    this.saved("a copy of the page");
  }

  saveRemarks() {
    save(fileName(this.page().title, "remarks.json"), `${JSON.stringify(this.whole(), null, 1)}\n`, "application/json");
    this.saved("a JSON file");
  }

  saved(what) {
    this.unsaved = false;
    const name = this.kept.remarks.some((item) => this.own.has(item.id) && !item.author) ? " Some remarks in it have no name: write the reviewer's name and save again." : "";
    this.say(`Saved through the browser as ${what}. This page itself is unchanged.${name}`);
  }
}
