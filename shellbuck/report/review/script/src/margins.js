// The margin matrix joins in: a remark on a row, and the mode a row rests on.

import { el, svg } from "./dom.js";

const WAVE = "M1 8C3 2 5 2 7 8S11 14 13 8";
const QUERY = "M4 5C4 2 10 2 10 5C10 7 7 7 7 9M7 11.5V12.5";
const PENCIL = "M2 12L3 9L10 2L12 4L5 11Z";

function tool(shape, name, act) {
  const picture = svg("svg", { width: 14, height: 14, viewBox: "0 0 14 14", "aria-hidden": "true" }, svg("path", { d: shape }));
  return el("button", { type: "button", title: name, "aria-label": name, onclick: act }, picture);
}

/** A line below the matrix that says what a row without a mode of its own rests on. */
function reasons() {
  const line = el("p", { class: "rv-why", role: "status", hidden: true });
  document.querySelector("[data-row][data-case]")?.closest(".scroll, table")?.after(line);
  return (words) => {
    line.textContent = words;
    line.hidden = false;
  };
}

/** Put the tools into every cell of the matrix that names its row and load case. */
export function joinMargins(remarks, viewer, data) {
  const tell = reasons();
  for (const cell of document.querySelectorAll("[data-row][data-case]")) {
    const { row, case: name } = cell.dataset;
    const found = (data?.margins ?? []).find((item) => item.mode === row && item.case === name);
    const basis = viewer && found?.basis && data.byId.has(found.basis) ? found.basis : null;
    const words = found?.words ? `${row}, ${name} (MS ${found.text}): ${found.words}.` : "";
    const show = () => {
      viewer.show(basis);
      if (viewer.store.get("mode") !== basis) return; // it cannot be shown, and the viewer has said so
      viewer.tell(words);
    };
    cell.append(
      el(
        "span",
        { class: "rv-margin-tools" },
        basis
          ? tool(WAVE, found.role === "beside" ? `show the reference mode of ${row}, ${name}` : `show the mode on which ${row}, ${name}, is based`, show)
          : words
            ? tool(QUERY, `explain why ${row}, ${name}, has no mode`, () => tell(words))
            : null,
        tool(PENCIL, `write a remark on ${row}, ${name}`, () => remarks.write({ kind: "margin", case: name, row })),
      ),
    );
  }
}
