// For ten seconds after an entry its button says Undo.

import {h} from './dom.js';
import {mark} from './severity.js';

/** @typedef {import('./outbox.js').Receipt} Receipt */

const SECONDS = 10;

export class Undo {
    /** Stays the same element while the view around it is drawn again. */
    element = h('div', {class: 'undo', role: 'status'});

    /**
     * @param {import('./outbox.js').Outbox} outbox @param {import('./notices.js').Notices} notices
     * @param {() => void} [done] something was undone
     */
    constructor(outbox, notices, done) {
        this.outbox = outbox;
        this.notices = notices;
        this.done = done;
    }

    /** Says that an entry is made, with its Undo. @param {Receipt} receipt */
    offer(receipt) {
        const left = h('span', {'aria-hidden': 'true', class: 'seconds'});
        const words = receipt.kept
            ? mark('warn', `${receipt.kept} Kept on this device and sent later: ${receipt.entry.words}.`)
            : mark('done', `On record: ${receipt.entry.words}.`);
        const button = h('button', {onclick: event => event.detail < 2 && this.#take(receipt, row, timer)}, 'Undo', left);
        const row = h('div', {class: 'undo-row'}, words, button);
        let seconds = SECONDS;
        const tick = () => {
            left.textContent = ` ${seconds} s`;
            if (seconds-- === 0) this.#end(row, timer);
        };
        const timer = setInterval(tick, 1000);
        tick();
        this.element.prepend(row);
    }

    /** @param {HTMLElement} row @param {number} timer */
    #end(row, timer) {
        clearInterval(timer);
        row.remove();
    }

    /** @param {Receipt} receipt @param {HTMLElement} row @param {number} timer */
    async #take(receipt, row, timer) {
        this.#end(row, timer);
        try {
            await this.outbox.undo(receipt);
            this.notices.say(`Undone: ${receipt.entry.words}.`);
        } catch (trouble) {
            this.notices.trouble(trouble);
        }
        this.done?.();
    }
}
