// What is on record for a job. Nothing is taken off it: what was not so gets a correcting entry.

import {Refusal, get, jobAddress} from './api.js';
import {choice, field, fill, h} from './dom.js';
import {mark} from './severity.js';

/** @typedef {import('./app.js').Shared} Shared */

/** Figures of a fact, as far as there are any. @param {any} fact @param {import('./words.js').Units} units */
function figures(fact, units) {
    return [
        fact.air_c !== null && `air ${fact.air_c} °C`,
        fact.surface_c !== null && `surface ${fact.surface_c} °C`,
        fact.humidity_percent !== null && `humidity ${fact.humidity_percent} %`,
        fact.measured_mm !== null &&
            `measured ${units.length(fact.measured_mm, 1)}${fact.planned_mm !== null ? ` of ${units.length(fact.planned_mm, 1)}` : ''}`,
        fact.roll && `roll ${fact.roll}`,
        fact.batch && `batch ${fact.batch}`,
    ]
        .filter(Boolean)
        .join(', ');
}

/** @param {any} fact @param {import('./words.js').Units} units @param {(fact: any) => void} withdraw */
function item(fact, units, withdraw) {
    return h(
        'li',
        {class: fact.withdrawn ? 'fact withdrawn' : 'fact'},
        h(
            'p',
            null,
            h('strong', null, fact.kind_words),
            ' ',
            fact.panel ?? '',
            fact.withdraws ? ` (entry ${fact.withdraws})` : '',
            fact.withdrawn && h('em', null, ' corrected: it was not so'),
        ),
        h(
            'p',
            {class: 'quiet-words'},
            [`${fact.at?.words}`, fact.who, fact.device, figures(fact, units)].filter(Boolean).join(' · '),
        ),
        fact.words && h('p', null, fact.words),
        fact.override &&
            h(
                'p',
                null,
                mark('warn', `gone on all the same: ${fact.override}`),
                fact.gate && ` ${fact.gate}`,
            ),
        fact.photo &&
            h(
                'a',
                {href: fact.photo, target: '_blank'},
                h('img', {
                    src: fact.photo,
                    alt: `Photograph of entry ${fact.number}`,
                    loading: 'lazy',
                    class: 'photo',
                }),
            ),
        !fact.withdrawn &&
            fact.kind !== 'withdrawn' &&
            h(
                'button',
                {class: 'quiet', 'data-focus': `withdraw-${fact.number}`, onclick: () => withdraw(fact)},
                `Correct entry ${fact.number}`,
            ),
    );
}

/**
 * Asks why an entry was not so, and records that.
 * @param {Shared} shared
 * @param {string} job
 * @param {any} fact
 * @param {() => void} done
 */
function correction(shared, job, fact, done) {
    const reason = h('input', {name: 'words', required: true, maxlength: 2000});
    const said = h('p', {role: 'alert'});
    const send = async event => {
        event.preventDefault();
        try {
            await shared.outbox.record(
                job,
                {
                    kind: 'withdrawn',
                    withdraws: String(fact.number),
                    words: reason.value.trim(),
                    ...(fact.panel ? {panels: fact.panel} : {}),
                },
                `correction of entry ${fact.number}`,
            );
            dialog.close();
            done();
        } catch (trouble) {
            if (!(trouble instanceof Refusal)) throw trouble;
            fill(said, mark('stop', trouble.message));
        }
    };
    const dialog = h(
        'dialog',
        {'aria-labelledby': 'correct-heading', onclose: () => dialog.remove()},
        h(
            'form',
            {onsubmit: send},
            h('h2', {id: 'correct-heading'}, `Entry ${fact.number} was not so`),
            h(
                'p',
                null,
                `${fact.kind_words} ${fact.panel ?? ''}, ${fact.at?.words}. It stays on the record, with this correction beside it.`,
            ),
            h('label', {class: 'field'}, 'Why', reason),
            said,
            h(
                'p',
                {class: 'actions'},
                h('button', {class: 'main'}, 'Record the correction'),
                h('button', {type: 'button', onclick: () => dialog.close()}, 'Leave it as it is'),
            ),
        ),
    );
    document.body.append(dialog);
    dialog.showModal();
    reason.focus();
}

/** What is put on record for the whole job. */
const ENTRIES = /** @type {[string, string][]} */ ([
    ['note', 'note'],
    ['taken-in', 'vehicle taken in: its condition'],
    ['handed-over', 'vehicle handed over'],
]);

/** An entry for the job as a whole. @param {Shared} shared @param {string} job @param {() => void} done */
export function entryForm(shared, job, done) {
    const kind = choice('kind', ENTRIES),
        words = h('textarea', {name: 'words', required: true, maxlength: 2000, rows: 2});
    const said = h('div', {role: 'alert'});
    const send = async event => {
        event.preventDefault();
        try {
            const {kept} = await shared.outbox.record(
                job,
                {kind: kind.value, words: words.value.trim()},
                `${kind.value} of ${job}`,
            );
            words.value = '';
            fill(
                said,
                kept && mark('warn', 'The network is away. This entry is kept and sent when it is back.'),
            );
            if (!kept) done();
        } catch (trouble) {
            fill(said, mark('stop', /** @type {Error} */ (trouble).message));
        }
    };
    return h(
        'form',
        {onsubmit: send},
        h('div', {class: 'fields'}, field('Put on record', kind), field('In words', words)),
        said,
        h('button', null, 'Record it'),
    );
}

/**
 * @param {HTMLElement} container @param {Shared} shared @param {string} job
 * @returns {Promise<void>}
 */
export async function drawRecord(container, shared, job) {
    const {facts} = await get(jobAddress(job, 'facts'));
    const again = () => drawRecord(container, shared, job);
    fill(
        container,
        facts.length
            ? h(
                  'ol',
                  {class: 'plain record', tabindex: 0, 'aria-label': 'Entries, newest first'},
                  facts.map(fact => item(fact, shared.units, one => correction(shared, job, one, again))),
              )
            : h(
                  'p',
                  {class: 'quiet-words'},
                  'Nothing is on record yet. What is printed, hung, laminated and installed is entered on each panel\u2019s page.',
              ),
    );
}
