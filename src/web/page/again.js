// A panel printed again: asked for with a reason, and the file that was made, to be fetched.

import {jobAddress, post} from './api.js';
import {h} from './dom.js';
import {askReason} from './reason.js';
import {bytes} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */

/** A file of those that were made again, by the end of its name. @param {any[]} files @param {string} end */
const fileOf = (files, end) =>
    files.find(file => file.name.startsWith('reprint/') && file.name.replace(/\.\w+$/, '').endsWith(`_${end}`));

/** @param {any} file @param {string} words */
const fetching = (file, words) =>
    file && h('a', {class: 'button', href: file.address, download: true}, `${words} (${bytes(file.bytes)})`);

/**
 * What stands in the chosen panel's view.
 * @param {JobModel} model @param {any} surface @param {any} panel @param {(asked: string, id: string) => void} again
 */
export function printAgain(model, surface, panel, again) {
    const files = model.data.files ?? [],
        own = panel.id.replace(/-(inlay-)?(\d+)$/, '_$1$2'); /* "..._left_2.tif" of left-2 */
    return h(
        'p',
        {class: 'actions'},
        model.mayChange &&
            h(
                'button',
                {'data-focus': 'again', onclick: () => again(`${surface.name}/${panel.id}`, panel.id)},
                'Print again',
            ),
        fetching(fileOf(files, own), `Fetch the print file of ${panel.id}`),
        fetching(fileOf(files, `${panel.id}-patches`), `Fetch the repair pieces of ${panel.id}`),
    );
}

/**
 * Asks why, and has the file made.
 * @param {{job: string, panel: string, id: string, person: string | null}} asked panel is SURFACE/PANEL
 * @param {(fields: Record<string, string>) => void} sent it is being made, with these fields
 */
export function askAgain({job, panel, id, person}, sent) {
    const patches = h('input', {type: 'checkbox', name: 'patches'});
    const asked = {
        heading: `Print ${id} again`,
        words: 'The file is made as it was printed, with the feed of then. A panel on record as printed starts again.',
        button: 'Make the print file',
        person,
        more: h('label', {class: 'check'}, patches, 'Make hand-sized repair pieces of it too'),
    };
    askReason(asked, async ({words, who}) => {
        const fields = {panel, words, ...(who ? {who} : {}), ...(patches.checked ? {patches: 'yes'} : {})};
        await post(jobAddress(job, 'reprint'), fields);
        sent(fields);
    });
}
