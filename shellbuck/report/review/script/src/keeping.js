// Remarks in and out of files: their form, what is refused, the copy of the page that carries them.

export const VERDICTS = ["accepted", "accepted with remarks", "rejected"];
const FORMER = { believed: "accepted", "believed with remarks": "accepted with remarks", "not believed": "rejected" }; // of earlier pages
export const KINDS = ["mode", "place", "margin", "page"];

export class Refused extends Error {}

/** Text of a value that may stand inside a script element. */
export function packed(value) {
  return JSON.stringify(value).replaceAll("<", "\\u003c");
}

const text = (value) => (typeof value === "string" ? value : "");
const number = (value) => (typeof value === "number" && Number.isFinite(value) ? value : null);

function place(on) {
  const found = { kind: on.kind };
  if (on.kind === "mode" || on.kind === "place") Object.assign(found, { mode: text(on.mode), title: text(on.title), case: text(on.case) });
  if (on.kind === "place") {
    const [x, theta] = [number(on.x), number(on.theta)];
    if (x === null || theta === null) throw new Refused("A remark on a place has no position: x and theta are missing.");
    Object.assign(found, { x, theta });
  }
  if (on.kind === "margin") Object.assign(found, { case: text(on.case), row: text(on.row) });
  return found;
}

/** Remarks as they belong, from an object of unknown origin; `Refused` with words when they are none. */
export function checked(value) {
  if (value === null || typeof value !== "object" || value["remarks of"] !== "shellbuck") {
    throw new Refused("This file contains no remarks on a page of shellbuck.");
  }
  if (value.version !== 1) throw new Refused(`These remarks are of form ${String(value.version)}; this page reads form 1.`);
  if (!Array.isArray(value.remarks)) throw new Refused("The list of remarks is missing; the file is damaged.");
  const remarks = value.remarks.map((item, i) => {
    if (!item || typeof item !== "object" || !item.on || !KINDS.includes(item.on.kind)) throw new Refused(`Remark ${i + 1} has no subject; the file is damaged.`);
    if (typeof item.text !== "string") throw new Refused(`Remark ${i + 1} has no text; the file is damaged.`);
    return {
      id: text(item.id) || `r${i + 1}`, on: place(item.on), then: number(item.then), now: number(item.now),
      text: item.text, author: text(item.author), when: text(item.when),
    }; // prettier-ignore
  });
  return { ...judged(value), remarks };
}

/** Who gave which verdict on which page. */
function judged(value) {
  const verdict = FORMER[value.verdict] ?? value.verdict;
  const page = value.page && typeof value.page === "object" ? value.page : {};
  return {
    page: Object.fromEntries(["title", "part", "revision", "digest", "program"].map((key) => [key, text(page[key])])),
    verdict: VERDICTS.includes(verdict) ? verdict : "",
    reviewer: text(value.reviewer),
  };
}

/** Verdicts on earlier pages, from the text of their block; none where it is missing or damaged. */
export function readEarlier(stored) {
  try {
    const found = JSON.parse(stored || "[]");
    return Array.isArray(found) ? found.filter((item) => item && typeof item === "object").map(judged).filter(({ verdict }) => verdict) : [];
  } catch {
    return [];
  }
}

/** Remarks from the text of a file, a JSON or a saved page. */
export function readRemarks(content) {
  let inner = content.trim();
  if (!inner.startsWith("{")) {
    const block = new DOMParser().parseFromString(content, "text/html").getElementById("review-remarks");
    if (!block) throw new Refused("This file is neither a page of shellbuck nor a file of remarks.");
    inner = block.textContent.trim();
    if (inner === "" || inner === "null") throw new Refused("This page has no remarks.");
  }
  let value;
  try {
    value = JSON.parse(inner);
  } catch {
    throw new Refused("The remarks are cut short or damaged; nothing was taken from this file.");
  }
  return checked(value);
}

/** The document as it was before anything changed it. Call before the first change but the root's class. */
export function pristine() {
  const copy = document.documentElement.cloneNode(true);
  copy.className = copy.className.replace(/\bscripted\b/, "no-script");
  return copy;
}

/** The page's text with the remarks filled in, also as a static list for readers without a script. */
export function pageWith(copy, kept, earlier, lines) {
  const whole = copy.cloneNode(true);
  const find = (id) => whole.querySelector(`#${id}`);
  const put = (id, value) => {
    let block = find(id);
    if (!block) {
      block = document.createElement("script");
      block.type = "application/json";
      block.id = id;
      whole.querySelector("body").append(block);
    }
    block.textContent = packed(value);
  };
  put("review-remarks", kept);
  if (earlier.length || find("review-earlier")) put("review-earlier", earlier);
  find("remarks-editor")?.removeAttribute("data-given"); // what the copy carries was given on this page
  let list = find("remarks-static");
  if (!list && find("remarks")) {
    list = document.createElement("div");
    list.id = "remarks-static";
    list.className = "still";
    find("remarks").append(list);
  }
  if (list) {
    list.replaceChildren(
      ...lines.map((words) => {
        const row = document.createElement("p");
        row.textContent = words;
        return row;
      }),
    );
  }
  return `<!doctype html>\n${whole.outerHTML}\n`;
}

/** Hand a text to the reader as a file. */
export function save(name, content, type) {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 30_000);
}

/** A file name of plain letters from a title. */
export function fileName(title, end) {
  const stem = title.normalize("NFKD").replace(/[^A-Za-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60);
  return `${stem || "page"}-${end}`;
}
