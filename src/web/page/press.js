// What is drawn again between press and release loses the click: drawing waits for the hand.

export class Press {
    #down = false;
    /** @type {Set<() => void>} */
    #waiting = new Set();

    constructor() {
        const press = event => (this.#down = Boolean(event.target.closest('button, a, summary, label')));
        document.addEventListener('pointerdown', press, true);
        for (const kind of ['pointerup', 'pointercancel'])
            window.addEventListener(kind, () => setTimeout(() => this.#release()));
    }

    /**
     * Draws now, or when nothing is pressed any more; the same drawing waits once.
     * @param {() => void} draw
     */
    after(draw) {
        if (this.#down) this.#waiting.add(draw);
        else draw();
    }

    #release() {
        const waiting = [...this.#waiting];
        this.#down = false;
        this.#waiting.clear();
        for (const draw of waiting) draw();
    }
}
