// Two runs side by side: what is done to one picture is done to the other.

import { meant } from "./identity.js";

const SAME = ["pose", "cut", "cutAt", "cutWide", "ghost", "contours", "shade", "cutLines", "ribs", "theta", "amplitude", "phase"];

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
          const twin = meant(to.data.modes, from.data.byId.get(state.mode));
          if (twin) changes.mode = twin.id;
        }
        to.store.set(changes);
      } finally {
        busy = false;
      }
    });
  };
  tie(first, second);
  tie(second, first);
}
