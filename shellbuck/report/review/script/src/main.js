// The page comes alive: its data are read, its views built. What cannot be read is said in words and the printed figures stay.

import { readData, Unreadable } from "./data.js";
import { el } from "./dom.js";
import { pristine } from "./keeping.js";
import { link } from "./linked.js";
import { joinMargins } from "./margins.js";
import { Remarks } from "./remarks.js";
import { publish } from "./state.js";
import { Viewer } from "./viewer.js";

const root = document.documentElement;
root.classList.replace("no-script", "scripted");

function block(id) {
  const found = document.getElementById(id);
  return found ? found.textContent : null;
}

/** Tell of a failure where the views would stand, and bring the printed figures back. */
function tell(host, error) {
  const known = error instanceof Unreadable;
  if (!known) console.error(error);
  root.classList.replace("scripted", "no-script");
  const words = known ? error.message : `The interactive view failed (${error.message}).`;
  const instead = document.querySelector(".still") ? " The printed figures are shown instead." : "";
  host.replaceChildren(el("p", { class: "rv-message", role: "alert" }, words + instead));
  host.hidden = false;
}

function read(host, id) {
  try {
    return readData(block(id));
  } catch (error) {
    tell(host, error);
    return null;
  }
}

/** The views of a host's data, or null with words in their place. */
async function view(host, data, remarks) {
  try {
    if (data.modes.length === 0) throw new Unreadable("The page contains no mode to show.");
    host.hidden = false;
    const viewer = new Viewer(host, data, remarks);
    await viewer.start();
    return viewer;
  } catch (error) {
    tell(host, error);
    return null;
  }
}

/** Views and remarks: either works without the other. */
async function start() {
  const copy = pristine();
  const host = document.getElementById("viewer");
  const editor = document.getElementById("remarks-editor");
  const other = document.getElementById("viewer-beside");
  const data = host && read(host, "review-data");
  const remarks = editor && new Remarks({ host: editor, copy, stored: block("review-remarks"), earlier: block("review-earlier"), data });
  const viewer = data && (await view(host, data, remarks));
  if (remarks) {
    remarks.viewer = viewer;
    remarks.fill();
    joinMargins(remarks, viewer, data);
    if (viewer) viewer.store.on(["mode", "theta", "x"], () => remarks.follow());
  }
  const dataBeside = other && read(other, "review-data-beside");
  const beside = dataBeside && (await view(other, dataBeside, null));
  if (viewer && beside) link(viewer, beside);
  if (viewer) publish(viewer, beside);
}

if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
else start();
