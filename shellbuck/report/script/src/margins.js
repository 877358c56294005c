// The margin matrix joins in: a remark on a row, and the mode a row rests on.

import { el, svg } from "./dom.js";

const WAVE = "M1 8C3 2 5 2 7 8S11 14 13 8";
const PENCIL = "M2 12L3 9L10 2L12 4L5 11Z";

function tool(shape, name, act) {
  const picture = svg("svg", { width: 14, height: 14, viewBox: "0 0 14 14", "aria-hidden": "true" }, svg("path", { d: shape }));
  return el("button", { type: "button", title: name, "aria-label": name, onclick: act }, picture);
}

/** Put the tools into every cell of the matrix that names its row and load case. */
export function joinMargins(remarks, viewer, data) {
  for (const cell of document.querySelectorAll("[data-row][data-case]")) {
    const { row, case: name } = cell.dataset;
    const found = (data?.margins ?? []).find((item) => item.mode === row && item.case === name);
    const basis = viewer && found?.basis && data.byId.has(found.basis) ? found.basis : null;
    cell.append(
      el(
        "span",
        { class: "rv-margin-tools" },
        basis ? tool(WAVE, `show the mode that ${row}, ${name}, rests on`, () => viewer.show(basis)) : null,
        tool(PENCIL, `write a remark on ${row}, ${name}`, () => remarks.write({ kind: "margin", case: name, row })),
      ),
    );
  }
}
