// Numbers and wave counts as the trade writes them.

/** A number to some significant digits, without an exponent where a reader can do without. */
export function digits(value, count = 4) {
  if (!Number.isFinite(value)) return "-";
  if (value === 0) return "0";
  const size = Math.floor(Math.log10(Math.abs(value)));
  if (size < -4 || size > 6) return value.toExponential(count - 1);
  return value.toFixed(Math.max(0, count - 1 - size));
}

/** Value over the peak with its sign and side: "+0.83 (outward)". */
export function signed(value) {
  const side = value > 0.005 ? " (outward)" : value < -0.005 ? " (inward)" : "";
  const size = Math.abs(value).toFixed(2);
  return (value < 0 && size !== "0.00" ? "\u2212" : "+") + size + side;
}

/** A margin as the report prints it: signed, two decimals, rounded down. */
export function marginText(margin) {
  if (margin > 99) return "> +99";
  let hundredths = Math.floor(margin * 100 + 1e-9);
  if (margin < 0) hundredths = Math.min(hundredths, -1);
  return `${hundredths < 0 ? "-" : "+"}${(Math.abs(hundredths) / 100).toFixed(2)}`;
}

/** Whether two numbers are the same but for rounding. */
export function same(first, second) {
  return Math.abs(first - second) <= 1e-9 * Math.max(Math.abs(first), Math.abs(second)) + 1e-12;
}

/** Degrees of an angle in radian, 0 to 360. */
export function degrees(theta) {
  const turn = (theta * 180) / Math.PI;
  return ((turn % 360) + 360) % 360;
}

export function angle(theta) {
  return `${degrees(theta).toFixed(1)}\u00b0`;
}

/** A turn of either sense. */
export function turn(phase) {
  const value = (phase * 180) / Math.PI;
  return `${value < 0 ? "\u2212" : ""}${Math.abs(value).toFixed(1)}\u00b0`;
}

export class Units {
  constructor(units) {
    this.units = units;
  }

  shown(value, quantity, count = 4) {
    const unit = this.units[quantity];
    if (!unit) return digits(value, count);
    return `${digits(value / unit.factor, count)} ${unit.name}`;
  }

  number(value, quantity) {
    const unit = this.units[quantity];
    return unit ? value / unit.factor : value;
  }

  name(quantity) {
    return this.units[quantity] ? this.units[quantity].name : "SI";
  }
}

const PURE = 0.9; // share of w^2 from which one wave speaks for the mode

/** "7 half-waves along the axis, each 343 mm; 3 full waves around, each 3.35 m"; of a mix the largest wave, without a length. */
export function wavesInWords(mode, barrel, units) {
  const mixed = mode.share < PURE ? `${percent(mode.share)} of w\u00b2` : "";
  if (mixed && mode.form === "mesh") return `mostly m = ${mode.m}, n = ${mode.n} (${mixed})`;
  const along = mixed
    ? `mostly m = ${mode.m} (${mixed})`
    : mode.m > 0
      ? `${mode.m} half-wave${mode.m === 1 ? "" : "s"} along the axis, each ${units.shown(barrel.length / mode.m, "length", 3)}`
      : "no wave along the axis";
  const around =
    mode.n > 0
      ? `${mode.n} full wave${mode.n === 1 ? "" : "s"} around, each ${units.shown((2 * Math.PI * barrel.radius) / mode.n, "length", 3)}`
      : "the same all around";
  return `${along}; ${around}`;
}

export function percent(share, places = 0) {
  return `${(100 * share).toFixed(places)} %`;
}
