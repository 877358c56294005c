// The remarks that are kept: what each is on, the numbers it stands beside, how those of a file join in.

import { meant } from "./identity.js";
import { angle, marginText, same, Units } from "./words.js";

export class Notes {
  constructor(data) {
    this.data = data;
    this.units = new Units(data?.units ?? {});
    this.kept = { verdict: "", reviewer: "", remarks: [] };
    this.earlier = []; // verdicts on other pages, each as {page, verdict, reviewer}
  }

  page() {
    const { title = document.title, part = "", revision = "", digest = "", program = "" } = this.data ?? {};
    return { title, part, revision, digest, program };
  }

  whole() {
    return { "remarks of": "shellbuck", version: 1, page: this.page(), ...this.kept };
  }

  /** The mode that a remark means here. */
  mode(on) {
    return meant(this.data?.modes ?? [], { ...on, id: on.mode });
  }

  margin(on) {
    return (this.data?.margins ?? []).find((row) => row.case === on.case && row.mode === on.row) ?? null;
  }

  /** The number a remark stands beside: a line load, or a margin. */
  value(on) {
    if (on.kind === "mode" || on.kind === "place") return this.mode(on)?.line_load ?? null;
    return on.kind === "margin" ? (this.margin(on)?.margin ?? null) : null;
  }

  named(on) {
    if (on.kind === "margin") return `margin of ${on.row}, ${on.case}`;
    if (on.kind === "page") return "the page";
    const mode = `${on.title}, ${on.case}`;
    if (on.kind === "mode") return `mode: ${mode}`;
    return `place \u03b8 = ${angle(on.theta)}, x = ${this.units.shown(on.x, "length")} on ${mode}`;
  }

  shown(on, value) {
    if (value === null || value === undefined) return "none";
    if (on.kind === "margin") return `MS ${marginText(value)}`;
    return this.units.shown(value, "line load");
  }

  numbers({ on, then, now }) {
    if (then === null && now === null) return "";
    if (now === null && this.data && this.value(on) === null) return `then ${this.shown(on, then)}, now none`;
    if (now === null || (then !== null && same(now, then))) return `at ${this.shown(on, then)}`;
    return `then ${this.shown(on, then)}, now ${this.shown(on, now)}`;
  }

  /** Places pinned on a mode, with the number of their remark. */
  places(id) {
    return this.kept.remarks
      .map(({ on }, i) => ({ on, number: i + 1 }))
      .filter(({ on }) => on.kind === "place" && this.mode(on)?.id === id)
      .map(({ on, number }) => ({ number, theta: on.theta, x: on.x }));
  }

  /**
   * Join remarks of a file to those that stand; of a foreign page, with the numbers of this one. A verdict belongs to the
   * page it was given on: that of a foreign page, or of an earlier run of the same case (`carried`), stands beside.
   */
  take(found, carried = false) {
    const foreign = found.page.digest !== this.page().digest;
    const { verdict, reviewer } = carried || foreign ? { verdict: "", reviewer: "" } : found;
    const then = { page: found.page, verdict: found.verdict, reviewer: found.reviewer };
    const stands = this.earlier.some((item) => JSON.stringify(item) === JSON.stringify(then));
    if ((carried || foreign) && found.verdict && !stands) this.earlier = [...this.earlier, then];
    const known = new Set(this.kept.remarks.map((item) => JSON.stringify([item.on, item.text, item.author, item.when])));
    const fresh = found.remarks.filter((item) => !known.has(JSON.stringify([item.on, item.text, item.author, item.when])));
    const ids = new Set(this.kept.remarks.map(({ id }) => id));
    let next = this.kept.remarks.length + 1;
    const remarks = fresh.map((item) => {
      let { id } = item;
      while (ids.has(id)) id = `r${next++}`;
      ids.add(id);
      return { ...item, id, now: foreign ? this.value(item.on) : item.now };
    });
    this.kept = {
      verdict: this.kept.verdict || verdict,
      reviewer: this.kept.reviewer || reviewer,
      remarks: [...this.kept.remarks, ...remarks],
    };
    return { count: remarks.length, twice: found.remarks.length - remarks.length, foreign, page: found.page };
  }

  /** "Then: rejected, by R. Viewer, on Barrel, revision A (another case file)." */
  verdictThen({ page, verdict, reviewer }) {
    const on = [page.title || "no title", page.part, page.revision && `revision ${page.revision}`].filter(Boolean).join(", ");
    const file = page.digest === this.page().digest ? "the same case file" : "another case file";
    return `Then: ${verdict}, by ${reviewer || "no name"}, on ${on} (${file}, program ${page.program || "unknown"}).`;
  }

  /** Verdict and remarks as lines of text. */
  lines() {
    const { verdict, reviewer, remarks } = this.kept;
    return [
      `Verdict: ${verdict || "none yet"}. Reviewer: ${reviewer || "no name"}.`,
      ...this.earlier.map((item) => this.verdictThen(item)),
      ...remarks.map((remark, i) => `${i + 1}. On ${this.named(remark.on)}${this.numbers(remark) ? ` (${this.numbers(remark)})` : ""}: ${remark.text} [${remark.author || "no name"}, ${remark.when}]`),
    ];
  }
}
