// One line at the top: what was done, with its undo, or what went wrong. Read out by screen readers.

import {Away, signInAddress} from './api.js';
import {fill, h} from './dom.js';
import {mark} from './severity.js';

const STAYS_MS = 12000;

export class Notices {
    #timer = 0;
    #bad = false;
    /** The line stands only as long as the server is away. */
    #away = false;

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
        this.#bad = kind !== 'done';
        this.#away = false;
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

    /** A refusal with what to do about it. @param {HTMLElement} element */
    show(element) {
        this.clear();
        this.#bad = true;
        fill(this.place, element);
    }

    /** What went wrong. @param {any} trouble @param {{words: string, act: () => void}} [remedy] */
    trouble(trouble, remedy) {
        const signIn = {words: 'Sign in', act: () => location.assign(signInAddress())};
        const ended = trouble instanceof Away && trouble.kind === 'ended';
        this.say(trouble.message, 'stop', ended ? signIn : remedy);
        this.#away = trouble instanceof Away;
    }

    /** Something was done: what went wrong before it is of yesterday. */
    settle() {
        if (this.#bad) this.clear();
    }

    /** The server is back. */
    back() {
        if (this.#away) this.clear();
    }

    clear() {
        clearTimeout(this.#timer);
        this.#bad = this.#away = false;
        fill(this.place);
    }
}
