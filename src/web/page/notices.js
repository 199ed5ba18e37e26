// One line at the top: what was done, with its undo, or what went wrong. Read out by screen readers.

import {fill, h} from './dom.js';
import {mark} from './severity.js';

const STAYS_MS = 12000;

export class Notices {
    #timer = 0;
    /** @param {HTMLElement} place */
    constructor(place) {
        this.place = place;
    }

    /**
     * @param {string} words @param {'done' | 'warn' | 'stop'} [kind]
     * @param {{words: string, act: () => void}} [remedy] a button beside it, such as Undo
     */
    say(words, kind = 'done', remedy) {
        clearTimeout(this.#timer);
        const act = () => (this.clear(), remedy?.act());
        fill(
            this.place,
            h(
                'div',
                {class: 'notice'},
                mark(kind, words),
                h(
                    'span',
                    {class: 'actions'},
                    remedy && h('button', {onclick: act}, remedy.words),
                    h('button', {class: 'quiet', onclick: () => this.clear()}, 'Close'),
                ),
            ),
        );
        if (kind === 'done') this.#timer = setTimeout(() => this.clear(), STAYS_MS);
    }

    clear() {
        clearTimeout(this.#timer);
        fill(this.place);
    }
}
