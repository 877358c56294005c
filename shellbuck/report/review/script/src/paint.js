// The unrolled barrel on a canvas: colours, contour lines (dashed inward), signs on summits and hollows.

import { contour, summits } from "./contours.js";

const LEVELS = [-0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75];
const INK = "34,48,60";

/**
 * Paint values on a grid, theta to the right and x up.
 *
 * `size` is the picture in pixels of the page, `density` the device's pixels in one of them; `half` the pixels of the
 * shortest half-wave: signs are no larger, and waves too fine for lines and signs are left to their colours.
 */
export function paint(canvas, { values, columns, rows, size, density, palette, half = Infinity }) {
  const [width, height] = size.map((pixels) => Math.max(1, Math.round(pixels * density)));
  canvas.width = width;
  canvas.height = height;
  canvas.style.width = `${size[0]}px`;
  canvas.style.height = `${size[1]}px`;
  const ctx = canvas.getContext("2d", { willReadFrequently: true }); // drawn by the processor: the barrel need not wait for it
  const image = ctx.createImageData(width, height);
  const wide = columns + 1;
  const { table, steps } = palette;
  const pixels = image.data;
  for (let py = 0; py < height; py++) {
    const y = Math.min(Math.max(rows * (1 - (py + 0.5) / height), 0), rows);
    const j = Math.min(Math.floor(y), rows - 1);
    const t = y - j;
    for (let px = 0; px < width; px++) {
      const x = (columns * (px + 0.5)) / width;
      const i = Math.min(Math.floor(x), columns - 1);
      const s = x - i;
      const at = j * wide + i;
      const low = values[at] + s * (values[at + 1] - values[at]);
      const high = values[at + wide] + s * (values[at + wide + 1] - values[at + wide]);
      const part = 0.5 + 0.5 * (low + t * (high - low));
      const entry = 3 * Math.round((part < 0 ? 0 : part > 1 ? 1 : part) * steps);
      const to = 4 * (py * width + px);
      pixels[to] = table[entry];
      pixels[to + 1] = table[entry + 1];
      pixels[to + 2] = table[entry + 2];
      pixels[to + 3] = 255;
    }
  }
  ctx.putImageData(image, 0, 0);
  ctx.lineJoin = "round";
  for (const level of half < 12 ? [] : half < 18 ? [0] : LEVELS) {
    ctx.beginPath();
    for (const nodes of contour(values, columns, rows, level)) {
      for (let k = 0; k < nodes.length; k += 2) {
        const x = (nodes[k] / columns) * width;
        const y = (1 - nodes[k + 1] / rows) * height;
        if (k) ctx.lineTo(x, y);
        else ctx.moveTo(x, y);
      }
    }
    ctx.setLineDash(level < 0 ? [4 * density, 3 * density] : []);
    ctx.lineWidth = (level === 0 ? 1.4 : 0.8) * density;
    ctx.strokeStyle = `rgba(${INK},${level === 0 ? 0.9 : 0.55})`;
    ctx.stroke();
  }
  ctx.setLineDash([]);
  const letters = Math.min(15, 0.75 * half);
  if (letters >= 8) sign(ctx, { values, columns, rows, width, height, letters: letters * density });
}

function sign(ctx, { values, columns, rows, width, height, letters }) {
  // summits() measures in grid steps: bring both directions to those around
  const step = width / columns;
  const found = summits(values, columns, rows, (1.15 * letters) / step, 0.3);
  ctx.font = `700 ${letters}px system-ui, sans-serif`;
  ctx.textAlign = "center";
  ctx.textBaseline = "middle";
  ctx.lineWidth = letters / 5;
  ctx.strokeStyle = "rgba(255,255,255,0.85)";
  ctx.fillStyle = `rgb(${INK})`;
  for (const [i, j, value] of found) {
    const x = (i / columns) * width;
    const y = (1 - j / rows) * height;
    if (x < letters / 2 || x > width - letters / 2 || y < letters / 2 || y > height - letters / 2) continue;
    const mark = value > 0 ? "+" : "\u2212";
    ctx.strokeText(mark, x, y);
    ctx.fillText(mark, x, y);
  }
}
