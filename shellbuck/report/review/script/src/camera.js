// A parallel projection that turns about the middle of the barrel.

export const REST = Object.freeze({ azimuth: -0.6, elevation: 0.42, zoom: 1, right: 0, up: 0 });
/** Where the words beside the barrel end, in radii from its axis, and the pixels that they need. */
export const BESIDE = 1.14;
export const WORDS = 40;
const STEEPEST = Math.PI / 2 - 1e-3;

export class Camera {
  constructor(barrel) {
    this.barrel = barrel;
    this.size = [1, 1];
    this.pose = REST;
  }

  axes() {
    const { azimuth, elevation } = this.pose;
    const [ca, sa, ce, se] = [Math.cos(azimuth), Math.sin(azimuth), Math.cos(elevation), Math.sin(elevation)];
    return { towards: [ce * ca, ce * sa, se], up: [-se * ca, -se * sa, ce], right: [-sa, ca, 0] };
  }

  /** Pixels to a metre: at rest the barrel with room for its waves, and for the words at its left, fills the picture. */
  scale() {
    const { radius, length } = this.barrel;
    const [ce, se] = [Math.cos(REST.elevation), Math.sin(REST.elevation)];
    const wide = 2 * radius * 1.28;
    const high = length * ce + 2 * radius * se * 1.28 + 0.1 * radius;
    const worded = Math.max(this.size[0] / 2 - WORDS, 1) / (BESIDE * radius);
    return this.pose.zoom * Math.min(this.size[0] / wide, this.size[1] / high, worded);
  }

  focus() {
    const { right, up } = this.axes();
    return [0, 1, 2].map((k) => (k === 2 ? this.barrel.length / 2 : 0) - this.pose.right * right[k] - this.pose.up * up[k]);
  }

  /** [pixels from the left, pixels from the top, metres towards the eye] of a place. */
  project(place) {
    const { right, up, towards } = this.axes();
    const focus = this.focus();
    const dot = (axis) => place.reduce((sum, value, k) => sum + (value - focus[k]) * axis[k], 0);
    const scale = this.scale();
    return [this.size[0] / 2 + scale * dot(right), this.size[1] / 2 - scale * dot(up), dot(towards)];
  }

  /** Where the sight line through a pixel meets the barrel of radius(theta, x): nearest first, `hidden` places left out. */
  pick(px, py, radius, hidden) {
    const { right, up, towards } = this.axes();
    const focus = this.focus();
    const scale = this.scale();
    const [a, b] = [(px - this.size[0] / 2) / scale, (this.size[1] / 2 - py) / scale];
    const from = focus.map((value, k) => value + a * right[k] + b * up[k]);
    for (const side of [1, -1]) {
      let r = this.barrel.radius;
      let found = null;
      for (let pass = 0; pass < 6; pass++) {
        const A = towards[0] ** 2 + towards[1] ** 2;
        const B = from[0] * towards[0] + from[1] * towards[1];
        const C = from[0] ** 2 + from[1] ** 2 - r * r;
        const root = B * B - A * C;
        if (A < 1e-9 || root < 0) break;
        const s = (-B + side * Math.sqrt(root)) / A;
        const at = from.map((value, k) => value + s * towards[k]);
        found = { theta: Math.atan2(at[1], at[0]), x: at[2] };
        r = radius(found.theta, Math.min(Math.max(found.x, 0), this.barrel.length));
      }
      if (found && found.x >= 0 && found.x <= this.barrel.length && !hidden(found.theta)) return found;
    }
    return null;
  }
}

/** A pose turned, zoomed and moved, inside its limits; `about` is the place that stays under a zoom, in metres to the right
 * of and above the middle of the picture. */
export function moved(pose, { turn = 0, tilt = 0, zoom = 1, right = 0, up = 0, about = [0, 0] }) {
  const now = Math.min(Math.max(pose.zoom * zoom, 0.4), 40);
  const kept = 1 - pose.zoom / now;
  return Object.freeze({
    azimuth: pose.azimuth + turn,
    elevation: Math.min(Math.max(pose.elevation + tilt, -STEEPEST), STEEPEST),
    zoom: now,
    right: pose.right + right - about[0] * kept,
    up: pose.up + up - about[1] * kept,
  });
}

const OUTLINE = 96;

/** The pose itself, or moved just so far that the barrel stands in the middle of the picture, whatever the zoom. */
export function kept(camera, pose) {
  const look = new Camera(camera.barrel);
  look.size = camera.size;
  const { radius, length } = camera.barrel;
  const tall = (length / 2) * Math.cos(pose.elevation);
  const round = radius * Math.abs(Math.sin(pose.elevation));
  const right = Math.min(Math.max(pose.right, -radius), radius);
  const high = tall + round * Math.sqrt(Math.max(1 - (right / radius) ** 2, 0));
  const up = Math.min(Math.max(pose.up, -high), high);
  const inside = Object.freeze({ ...pose, right, up });
  look.pose = inside;
  const [wide, deep] = camera.size;
  if (look.pick(wide / 2, deep / 2, () => radius, () => false)) return right === pose.right && up === pose.up ? pose : inside;
  // the middle looks through both open ends, or past the rim: some of the rims must be in sight
  let nearest = null;
  for (let k = 0; k < 2 * OUTLINE; k++) {
    const theta = (2 * Math.PI * (k >> 1)) / OUTLINE;
    const [px, py] = look.project([radius * Math.cos(theta), radius * Math.sin(theta), k % 2 ? length : 0]);
    const [dx, dy] = [px - wide / 2, py - deep / 2];
    if (Math.abs(dx) < 0.45 * wide && Math.abs(dy) < 0.45 * deep) return right === pose.right && up === pose.up ? pose : inside;
    if (nearest === null || Math.hypot(dx, dy) < Math.hypot(...nearest)) nearest = [dx, dy];
  }
  const scale = look.scale();
  return Object.freeze({ ...inside, right: right - nearest[0] / scale, up: up + nearest[1] / scale });
}
