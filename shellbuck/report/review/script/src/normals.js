// Smooth normals of a body that moves.

/**
 * Normals at the nodes of a body, area-weighted, as (radial, hoop, axial): of the barrel as drawn and the change per unit
 * of amplitude. The cross product of moved edges is c0 + a c1 + a^2 c2; the last term is left out (own derivation).
 */
export function normals(body) {
  const { polar, shift, index } = body;
  const nodes = polar.length / 3;
  const place = new Float64Array(3 * nodes);
  const move = new Float64Array(3 * nodes);
  for (let i = 0; i < nodes; i++) {
    const k = 3 * i;
    const [c, s] = [Math.cos(polar[k + 1]), Math.sin(polar[k + 1])];
    place[k] = polar[k + 2] * c;
    place[k + 1] = polar[k + 2] * s;
    place[k + 2] = polar[k];
    move[k] = shift[k + 2] * c - shift[k + 1] * s;
    move[k + 1] = shift[k + 2] * s + shift[k + 1] * c;
    move[k + 2] = shift[k];
  }
  const sum0 = new Float64Array(3 * nodes);
  const sum1 = new Float64Array(3 * nodes);
  const e = new Float64Array(12); // two edges as drawn, then what they move
  for (let t = 0; t < index.length; t += 3) {
    const [a, b, c] = [3 * index[t], 3 * index[t + 1], 3 * index[t + 2]];
    for (let k = 0; k < 3; k++) {
      e[k] = place[b + k] - place[a + k];
      e[3 + k] = place[c + k] - place[a + k];
      e[6 + k] = move[b + k] - move[a + k];
      e[9 + k] = move[c + k] - move[a + k];
    }
    for (let k = 0; k < 3; k++) {
      const p = (k + 1) % 3;
      const q = (k + 2) % 3;
      const c0 = e[p] * e[3 + q] - e[q] * e[3 + p];
      const c1 = e[p] * e[9 + q] - e[q] * e[9 + p] + e[6 + p] * e[3 + q] - e[6 + q] * e[3 + p];
      sum0[a + k] += c0;
      sum0[b + k] += c0;
      sum0[c + k] += c0;
      sum1[a + k] += c1;
      sum1[b + k] += c1;
      sum1[c + k] += c1;
    }
  }
  if (body.closes) join(body.closes, sum0, sum1);
  const first = new Float32Array(3 * nodes);
  const second = new Float32Array(3 * nodes);
  for (let k = 0; k < 3 * nodes; k += 3) {
    const [c, s] = [Math.cos(polar[k + 1]), Math.sin(polar[k + 1])];
    const size = Math.hypot(sum0[k], sum0[k + 1], sum0[k + 2]) || 1;
    first[k] = (sum0[k] * c + sum0[k + 1] * s) / size;
    first[k + 1] = (sum0[k + 1] * c - sum0[k] * s) / size;
    first[k + 2] = sum0[k + 2] / size;
    second[k] = (sum1[k] * c + sum1[k + 1] * s) / size;
    second[k + 1] = (sum1[k + 1] * c - sum1[k] * s) / size;
    second[k + 2] = sum1[k + 2] / size;
  }
  return [first, second];
}

function join(pairs, ...sums) {
  for (const sum of sums) {
    for (const [a, b] of pairs) {
      for (let k = 0; k < 3; k++) {
        const both = sum[3 * a + k] + sum[3 * b + k];
        sum[3 * a + k] = both;
        sum[3 * b + k] = both;
      }
    }
  }
}
