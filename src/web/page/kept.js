// Entries kept in this browser, each under a key of its own, so that tabs do not write over each other's.

/** @typedef {import('./outbox.js').Entry} Entry */

export class Kept {
    /** What the browser would not store: kept as long as this page is open. @type {Map<string, Entry>} */
    #here = new Map();

    /** @param {string} stem of the names in the browser's store @param {() => void} changed also from another tab */
    constructor(stem, changed) {
        this.stem = stem;
        this.changed = changed;
        window.addEventListener('storage', event => (event.key?.startsWith(stem) ?? true) && changed());
    }

    /** Oldest first. @returns {Entry[]} */
    all() {
        const names = Object.keys(localStorage).filter(name => name.startsWith(this.stem));
        const stored = names.map(name => this.find(name.slice(this.stem.length))).filter(entry => entry !== null);
        const here = [...this.#here.values()];
        return [...stored, ...here].sort((a, b) => a.made - b.made);
    }

    /** @param {string} key @returns {Entry | null} */
    find(key) {
        try {
            return this.#here.get(key) ?? JSON.parse(localStorage.getItem(this.stem + key) ?? 'null');
        } catch {
            return null;
        }
    }

    /** @param {Entry} entry */
    put(entry) {
        try {
            localStorage.setItem(this.stem + entry.fields.key, JSON.stringify(entry));
        } catch {
            this.#here.set(entry.fields.key, entry);
        }
        this.changed();
    }

    /** @param {string} key @param {Partial<Entry>} what */
    change(key, what) {
        const entry = this.find(key);
        if (entry) this.put({...entry, ...what});
    }

    /** @param {string} key */
    drop(key) {
        this.#here.delete(key);
        localStorage.removeItem(this.stem + key);
        this.changed();
    }
}
