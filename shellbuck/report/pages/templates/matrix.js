"use strict";
// Filter and sort of the table of many load cases; without a script the table stands in the order of the margins.
(() => {
  const table = document.getElementById("every-load-case");
  if (!table) return;
  const body = table.tBodies[0], rows = [...body.rows], heads = [...table.tHead.rows[0].cells];
  const bar = document.getElementById("every-filter");
  const [text, status, told] = [bar.querySelector("input"), bar.querySelector("select"), bar.querySelector("output")];
  const value = (cell) => {
    const shown = cell.textContent.trim();
    if (shown.startsWith("\u2298")) return -Infinity; // refused or withheld: unknown comes first
    const found = shown.match(/[-+]\d+(\.\d+)?/);
    return found ? parseFloat(found[0]) : Infinity;
  };
  const kept = {
    all: () => true,
    negative: (row) => row.dataset.negative === "1",
    unknown: (row) => row.dataset.unknown === "1",
    full: (row) => row.dataset.full === "1",
  };
  const filter = () => {
    const words = text.value.toLowerCase().split(/\s+/).filter(Boolean);
    let count = 0;
    for (const row of rows) {
      const name = row.cells[0].textContent.toLowerCase();
      row.hidden = !(kept[status.value](row) && words.every((word) => name.includes(word)));
      count += row.hidden ? 0 : 1;
    }
    told.textContent = `${count} of ${rows.length} load cases shown`;
  };
  const sort = (column) => {
    const down = heads[column].getAttribute("aria-sort") === "ascending";
    const key = rows.map((row) => [row, column ? value(row.cells[column]) : row.cells[0].textContent]);
    const order = (a, b) => (column ? (a === b ? 0 : a < b ? -1 : 1) : a.localeCompare(b, undefined, { numeric: true }));
    key.sort((a, b) => (down ? -1 : 1) * order(a[1], b[1]));
    heads.forEach((head, i) => head.setAttribute("aria-sort", i === column ? (down ? "descending" : "ascending") : "none"));
    body.append(...key.map(([row]) => row));
  };
  heads.forEach((head, i) => {
    if (head.dataset.sort === undefined) return;
    const button = document.createElement("button");
    button.type = "button";
    button.title = "sort";
    button.append(...head.childNodes);
    button.addEventListener("click", () => sort(i));
    head.append(button);
  });
  text.addEventListener("input", filter);
  status.addEventListener("change", filter);
  bar.hidden = false;
  filter();
})();
