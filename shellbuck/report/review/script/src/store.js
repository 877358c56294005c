// What is chosen. Every view reads it and listens; none talks to another.

export class Store {
  constructor(initial) {
    this.state = Object.freeze({ ...initial });
    this.listeners = [];
  }

  get(key) {
    return this.state[key];
  }

  /** Change some entries; listeners hear which ones really changed. */
  set(changes) {
    const changed = new Set(Object.keys(changes).filter((key) => !Object.is(changes[key], this.state[key])));
    if (changed.size === 0) return;
    this.state = Object.freeze({ ...this.state, ...changes });
    for (const [keys, hear] of this.listeners) if (keys.some((key) => changed.has(key))) hear(this.state, changed);
  }

  /** Call `hear(state, changed)` after a change of one of the keys. */
  on(keys, hear) {
    this.listeners.push([keys, hear]);
  }
}
