// Two runs side by side: what is done to one picture is done to the other.

import { meant } from "./identity.js";

const SAME = ["pose", "cut", "cutAt", "cutWide", "ghost", "contours", "shade", "cutLines", "ribs", "theta", "amplitude", "phase"];

/** The mode of the other run that is the same by shape; by name where the page does not say. */
function partner(from, to, id) {
  const partners = from.data.partners ?? to.data.partners;
  if (!Array.isArray(partners)) return meant(to.data.modes, from.data.byId.get(id));
  const own = from.data.partners ? 1 : 0; // the second run carries the list
  const found = partners.find((pair) => pair[own] === id);
  return found ? to.data.byId.get(found[1 - own]) : null;
}

/** Link two viewers: camera, look, place (x as a share of the length), and the choice of modes of one name. */
export function link(first, second) {
  let busy = false;
  const tie = (from, to) => {
    const share = to.data.barrel.length / from.data.barrel.length;
    from.store.on([...SAME, "x", "mode"], (state, changed) => {
      if (busy) return;
      busy = true;
      try {
        const changes = Object.fromEntries(SAME.filter((key) => changed.has(key)).map((key) => [key, state[key]]));
        if (changed.has("x")) changes.x = state.x * share;
        if (changed.has("mode")) {
          const twin = partner(from, to, state.mode);
          if (twin) changes.mode = twin.id;
        }
        to.store.set(changes);
      } finally {
        busy = false;
      }
    });
  };
  for (const [one, other] of [[first, second], [second, first]]) {
    one.spectrum.peer = other.data;
    one.spectrum.draw();
  } // prettier-ignore
  tie(first, second);
  tie(second, first);
}
