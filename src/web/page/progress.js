// A file on its way, or long work of the server: how far, in words and as a bar, with a button to stop it.

import {fill, h} from './dom.js';
import {mark} from './severity.js';
import {bytes} from './words.js';

/** @param {string} label @param {number | null} fraction @param {string} words @param {() => void} [stop] */
export const progressBar = (label, fraction, words, stop) => h('div', {class: 'progress'},
    h('label', null, h('span', null, label), h('progress', {max: 1, ...(fraction === null ? {} : {value: fraction})})),
    h('span', {class: 'quiet-words'}, words), stop && h('button', {type: 'button', 'data-focus': 'stop', onclick: stop}, 'Stop'));

/**
 * Shows an upload in a container while it runs.
 * @param {HTMLElement} container @param {import('./upload.js').Upload} upload
 * @returns {Promise<{file: string, facts: any}>}
 */
export async function watched(container, upload) {
    const stop = () => upload.stop();
    const show = ({received, bytes: all, away}) => fill(container,
        progressBar(upload.file.name, all ? received / all : 0, `${bytes(received)} of ${bytes(all)}`, stop),
        away && mark('warn', 'The network is away; this goes on when it is back.'));
    upload.addEventListener('progress', event => show(/** @type {CustomEvent} */ (event).detail));
    show({received: 0, bytes: upload.file.size, away: false});
    try {
        const answer = await upload.run();
        fill(container, mark('done', `${upload.file.name} is there`), answer.facts?.words && ` ${answer.facts.words}`);
        return answer;
    } catch (trouble) {
        fill(container, mark('stop', /** @type {Error} */ (trouble).name === 'AbortError' ? `${upload.file.name}: stopped, nothing was kept` : /** @type {Error} */ (trouble).message));
        throw trouble;
    }
}
