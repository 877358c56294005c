// Lines of equal value on a grid, joined to long ones.

/** Polylines of grid coordinates [i, j, i, j, ...] where the grid of (columns + 1) by (rows + 1) values takes a level. */
export function contour(values, columns, rows, level) {
  const wide = columns + 1;
  const ends = new Map(); // grid edge -> the other edges that a piece joins it to
  const spot = new Map(); // grid edge -> [i, j]
  const crossing = (a, b) => {
    const key = a < b ? a * 4 * wide * (rows + 1) + b : b * 4 * wide * (rows + 1) + a;
    if (!spot.has(key)) {
      const t = (level - values[a]) / (values[b] - values[a]);
      const [ia, ja, ib, jb] = [a % wide, Math.floor(a / wide), b % wide, Math.floor(b / wide)];
      spot.set(key, [ia + t * (ib - ia), ja + t * (jb - ja)]);
      ends.set(key, []);
    }
    return key;
  };
  const join = (p, q) => {
    ends.get(p).push(q);
    ends.get(q).push(p);
  };
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const a = j * wide + i;
      const p = values[a] > level;
      const q = values[a + 1] > level;
      const r = values[a + 1 + wide] > level;
      const s = values[a + wide] > level;
      if (p === q && q === r && r === s) continue;
      const corners = [a, a + 1, a + 1 + wide, a + wide];
      const above = [p, q, r, s];
      const cut = [];
      for (let k = 0; k < 4; k++) if (above[k] !== above[(k + 1) % 4]) cut.push(crossing(corners[k], corners[(k + 1) % 4]));
      if (cut.length === 2) join(cut[0], cut[1]);
      else {
        const middle = corners.reduce((sum, c) => sum + values[c], 0) / 4 > level;
        const first = middle === p ? 0 : 1;
        join(cut[first], cut[first + 1]);
        join(cut[(first + 2) % 4], cut[(first + 3) % 4]);
      }
    }
  }
  const lines = [];
  const used = new Set();
  const follow = (start) => {
    const line = [];
    let at = start;
    while (at !== undefined) {
      used.add(at);
      line.push(...spot.get(at));
      at = ends.get(at).find((next) => !used.has(next));
    }
    if (line.length > 4 && ends.get(start).length === 2) line.push(line[0], line[1]);
    lines.push(line);
  };
  for (const [key, next] of ends) if (next.length === 1 && !used.has(key)) follow(key);
  for (const key of ends.keys()) if (!used.has(key)) follow(key);
  return lines;
}

/** Summits and hollows [i, j, value], the largest first, none nearer than `apart` grid steps to a larger one. */
export function summits(values, columns, rows, apart, least) {
  const found = [];
  const wide = columns + 1;
  for (let j = 0; j <= rows; j++) {
    for (let i = 0; i < columns; i++) {
      const value = values[j * wide + i];
      if (Math.abs(value) < least) continue;
      let top = true;
      for (let dj = -1; dj <= 1 && top; dj++) {
        for (let di = -1; di <= 1 && top; di++) {
          const row = j + dj;
          if (row < 0 || row > rows || (di === 0 && dj === 0)) continue;
          const other = values[row * wide + ((i + di + columns) % columns)];
          top = value > 0 ? other <= value : other >= value;
        }
      }
      if (top) found.push([i, j, value]);
    }
  }
  found.sort((p, q) => Math.abs(q[2]) - Math.abs(p[2]));
  const kept = [];
  const cells = new Map();
  const cell = (i, j) => `${Math.floor(i / apart)} ${Math.floor(j / apart)}`;
  for (const [i, j, value] of found) {
    let free = true;
    for (let di = -1; di <= 1 && free; di++) {
      for (let dj = -1; dj <= 1 && free; dj++) {
        for (const [pi, pj] of cells.get(cell(i + di * apart, j + dj * apart)) ?? []) {
          free = free && Math.hypot(pi - i, pj - j) >= apart;
        }
      }
    }
    if (!free) continue;
    kept.push([i, j, value]);
    const key = cell(i, j);
    if (!cells.has(key)) cells.set(key, []);
    cells.get(key).push([i, j]);
  }
  return kept;
}
