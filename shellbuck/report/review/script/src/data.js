// The data of the page: found, read, checked. Whatever is wrong is said in words.

export class Unreadable extends Error {}

const STORED = { f4: Float32Array, i2: Int16Array, u4: Uint32Array, u1: Uint8Array };

/** Values of one packed array: `{shape, values}`; floats for f4 and scaled numbers, else whole numbers. */
export function unpack(samples, what) {
  const Kind = samples && Object.hasOwn(STORED, samples.dtype) ? STORED[samples.dtype] : null;
  if (!Kind || !Array.isArray(samples.shape) || typeof samples.data !== "string") {
    throw new Unreadable(`${what}: an array is missing.`);
  }
  let raw;
  try {
    raw = atob(samples.data);
  } catch {
    throw new Unreadable(`${what}: the numbers are not readable as base64; the file is damaged.`);
  }
  const count = samples.shape.reduce((product, n) => product * n, 1);
  const expected = count * Kind.BYTES_PER_ELEMENT;
  if (raw.length !== expected) {
    throw new Unreadable(`${what}: ${raw.length} bytes found where ${expected} are expected; the file is cut short or damaged.`);
  }
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  let values = new Kind(bytes.buffer);
  const scale = samples.scale ?? 1;
  if (scale !== 1 || samples.dtype === "i2") values = Float32Array.from(values, (value) => value * scale);
  if (values instanceof Float32Array && !values.every(Number.isFinite)) {
    throw new Unreadable(`${what}: a value is not a finite number.`);
  }
  return { shape: samples.shape, values };
}

function positive(value) {
  return typeof value === "number" && Number.isFinite(value) && value > 0;
}

/** The review data from the text of their block; `Unreadable` with words when that is not what they are. */
export function readData(text) {
  if (text === null || text.trim() === "") throw new Unreadable("The page contains no mode data.");
  let data;
  try {
    data = JSON.parse(text);
  } catch {
    throw new Unreadable("The mode data of this page are cut short or damaged: they end or break before they are complete.");
  }
  if (data === null || typeof data !== "object" || Array.isArray(data) || !("modes" in data)) {
    throw new Unreadable("The block of mode data contains something else.");
  }
  if (data.version !== 1) {
    throw new Unreadable(`The mode data are of form ${String(data.version)}; this page reads form 1.`);
  }
  if (!data.barrel || !positive(data.barrel.radius) || !positive(data.barrel.length)) {
    throw new Unreadable("The mode data name no barrel: radius and length in metres, above zero, are missing.");
  }
  const colour = /^#[0-9a-f]{6}$/i;
  if (!Array.isArray(data.palette) || data.palette.length < 2 || !data.palette.every((c) => colour.test(c))) {
    throw new Unreadable("The mode data contain no colours.");
  }
  for (const key of ["modes", "spectra", "likeness", "prebuckled", "margins"]) {
    data[key] = data[key] ?? [];
    if (!Array.isArray(data[key])) throw new Unreadable(`The mode data are damaged: "${key}" is not a list.`);
  }
  data.units = data.units ?? {};
  data.surfaces = new Map(Object.entries(data.surfaces ?? {}));
  data.byId = new Map();
  for (const mode of data.modes) {
    if (!mode || typeof mode.id !== "string") throw new Unreadable("The mode data are damaged: a mode has no name.");
    if (data.byId.has(mode.id)) throw new Unreadable(`The mode data are damaged: "${mode.id}" appears twice.`);
    if (mode.form !== "waves" && mode.form !== "mesh") throw new Unreadable(`The mode data are damaged: "${mode.id}" has no shape.`);
    mode.facts = mode.facts ?? [];
    mode.content = mode.content ?? [];
    mode.energy = mode.energy ?? [];
    mode.rows = mode.rows ?? [];
    mode.margins = mode.margins ?? mode.rows.map((row) => `${row.mode}, ${row.case} (MS ${row.text})`).join("; ");
    mode.pair = mode.pair ?? `(${mode.m}, ${mode.n})`; // pages of earlier versions name the largest pair
    data.byId.set(mode.id, mode);
  }
  data.first = data.byId.has(data.first) ? data.first : (data.modes[0]?.id ?? null); // pages of earlier versions name none
  data.first_words = data.first_words ?? "";
  return data;
}
