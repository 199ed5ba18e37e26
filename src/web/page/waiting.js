// Requests that wait for their answer. A wait longer than a moment is shown.

/** From when on waiting is worth a word. */
const SLOW_MS = 1500;

/** `slow` is said when waiting has become long, and when it is over: see `slow`. */
export class Waiting extends EventTarget {
    #slow = 0;

    /** Whether a request waits too long now. */
    get slow() {
        return this.#slow > 0;
    }

    /** A request begins to wait. @returns {() => void} to be called when it has its answer */
    begin() {
        let counted = false;
        const timer = setTimeout(() => ((counted = true), this.#count(1)), SLOW_MS);
        return () => (clearTimeout(timer), counted && this.#count(-1));
    }

    /** @param {number} by */
    #count(by) {
        const before = this.slow;
        this.#slow += by;
        if (before !== this.slow) this.dispatchEvent(new Event('slow'));
    }
}
