// Elements from words. Text always goes in as text; nothing here reads markup.

const SVG = "http://www.w3.org/2000/svg";

function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "checked" || name === "disabled") node[name] = value;
    else node.setAttribute(name, value === true ? "" : value);
  }
  for (const child of children.flat()) if (child !== null && child !== undefined) node.append(child);
  return node;
}

/** An HTML element; `onclick: f` listens, other attributes are set, children are nodes or text. */
export function el(name, attributes = {}, ...children) {
  return fill(document.createElement(name), attributes, children);
}

/** An SVG element. */
export function svg(name, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, name), attributes, children);
}

/** Replace what a node holds. */
export function refill(node, ...children) {
  node.replaceChildren(...children.flat().filter((child) => child !== null && child !== undefined));
  return node;
}

let counter = 0;

/** An id that no other element of the page has. */
export function freshId(stem) {
  counter += 1;
  return `review-${stem}-${counter}`;
}

/** A labelled tick box. */
export function tick(words, checked, change, title) {
  const box = el("input", { type: "checkbox", checked, onchange: () => change(box.checked) });
  return Object.assign(el("label", { class: "rv-tick", title }, box, " " + words), { box });
}

/** A labelled slider that says its value in words. */
export function slider(words, low, high, step, value, say, change) {
  const id = freshId("slider");
  const said = el("output", { for: id, class: "rv-said" }, say(value));
  const input = el("input", { type: "range", id, min: low, max: high, step, value });
  const tell = () => {
    said.textContent = say(Number(input.value));
    input.setAttribute("aria-valuetext", said.textContent);
  };
  tell();
  input.addEventListener("input", () => {
    tell();
    change(Number(input.value));
  });
  const row = el("div", { class: "rv-slider" }, el("label", { for: id }, words), input, said);
  return Object.assign(row, {
    input,
    show(number) {
      input.value = String(number);
      tell();
    },
  });
}
