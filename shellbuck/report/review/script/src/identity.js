// Which mode is meant where runs differ; `identity.py` has the same rule.

/** The mode of this case and title; of several the one of the same id, else the first. Null where there is none. */
export function meant(modes, { id, case: name, title }) {
  const found = modes.filter((mode) => mode.case === name && mode.title === title);
  return found.find((mode) => mode.id === id) ?? found[0] ?? null;
}
