// A file on its way, or long work of the server: how far, in words and as a bar, with a button to stop it.

import {fill, h} from './dom.js';
import {mark} from './severity.js';
import {bytes} from './words.js';

/** A bar that stays the same element while it grows, so that its button can be pressed. */
export class ProgressBar {
    /** @param {() => void} stop */
    constructor(stop) {
        this.label = h('span', null);
        this.bar = h('progress', {max: 1});
        this.words = h('span', {class: 'quiet-words'});
        this.element = h(
            'div',
            {class: 'progress'},
            h('label', null, this.label, this.bar),
            this.words,
            h('button', {type: 'button', 'data-focus': 'stop', onclick: stop}, 'Stop'),
        );
    }

    /**
     * @param {string} label
     * @param {number | null} fraction null: how far is not known
     * @param {string} words
     */
    show(label, fraction, words) {
        this.label.textContent = label;
        this.words.textContent = words;
        if (fraction === null) this.bar.removeAttribute('value');
        else this.bar.value = fraction;
    }
}

/**
 * Shows an upload in a container while it runs.
 * @param {HTMLElement} container @param {import('./upload.js').Upload} upload
 * @returns {Promise<{file: string, facts: any}>}
 */
export async function watched(container, upload) {
    const bar = new ProgressBar(() => upload.stop()),
        note = h('p', null);
    const show = ({received, bytes: all, away}) => {
        bar.show(upload.file.name, all ? received / all : 0, `${bytes(received)} of ${bytes(all)}`);
        fill(note, away && mark('warn', `${away.message} Then this goes on.`));
    };
    fill(container, bar.element, note);
    upload.addEventListener('progress', event => show(/** @type {CustomEvent} */ (event).detail));
    show({received: 0, bytes: upload.file.size, away: null});
    try {
        const answer = await upload.run();
        fill(
            container,
            mark('done', `${upload.file.name} is there`),
            answer.facts?.words && ` ${answer.facts.words}`,
        );
        return answer;
    } catch (trouble) {
        fill(
            container,
            mark(
                'stop',
                /** @type {Error} */ (trouble).name === 'AbortError'
                    ? `${upload.file.name}: stopped, nothing was kept`
                    : /** @type {Error} */ (trouble).message,
            ),
        );
        throw trouble;
    }
}
