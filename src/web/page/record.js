// What is on record for a job. Nothing is taken off it: what was not so gets a correcting entry.

import {get, jobAddress} from './api.js';
import {choice, field, fill, h} from './dom.js';
import {askReason} from './reason.js';
import {mark} from './severity.js';
import {signedFields, signedValues} from './signed.js';
import {Undo} from './undo.js';

/** @typedef {import('./app.js').Shared} Shared */

/**
 * @param {any} fact @param {import('./words.js').Units} units
 * @param {((fact: any) => void) | false} withdraw not for who may only look
 */
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
            fact.withdraws > 0 ? ` (entry ${fact.withdraws})` : '',
            fact.withdrawn && h('em', null, ' corrected: it was not so'),
        ),
        h(
            'p',
            {class: 'quiet-words'},
            [`${fact.at?.words}`, fact.who, fact.device, fact.details[units.inches ? 'in' : 'mm']]
                .filter(Boolean)
                .join(' · '),
        ),
        fact.words && h('p', null, fact.words),
        fact.override &&
            h(
                'p',
                null,
                mark('warn', `gone on anyway: ${fact.override}`),
                fact.gate && ` ${fact.gate}`,
            ),
        fact.photo &&
            h(
                'a',
                {href: fact.photo, target: '_blank'},
                h('img', {
                    src: `${fact.photo}/small`,
                    alt: `Photograph of entry ${fact.number}`,
                    loading: 'lazy',
                    class: 'photo',
                }),
            ),
        withdraw &&
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
    const asked = {
        heading: `Entry ${fact.number} was not so`,
        words: `${fact.kind_words} ${fact.panel ?? ''}, ${fact.at?.words}. It stays on the record, with this correction beside it.`,
        button: 'Record the correction',
        person: shared.shop.who,
    };
    askReason(asked, async fields => {
        const {kept} = await shared.outbox.record(
            job,
            {kind: 'withdrawn', withdraws: String(fact.number), ...fields},
            `correction of entry ${fact.number}`,
        );
        if (kept) shared.notices.say(`${kept} The correction is kept on this device and sent later.`, 'warn');
        else done();
    });
}

/** What is put on record for the whole job. */
const ENTRIES = /** @type {[string, string][]} */ ([
    ['note', 'note'],
    ['taken-in', 'vehicle taken in: its condition'],
    ['prints-in', 'bought-in prints taken in'],
    ['handed-over', 'vehicle handed over'],
]);

/** What the fields that are asked for say; a field left empty, or none, is left out. @param {HTMLElement[]} fields */
const counted = fields =>
    Object.fromEntries(
        fields
            .map(one => one.querySelector('input'))
            .filter(input => input && !input.disabled && Number(input.value.trim()))
            .map(input => [input.name, input.value.trim()]),
    );

/** An entry for the job as a whole. @param {Shared} shared @param {string} job @param {() => void} done */
export function entryForm(shared, job, done) {
    const kind = choice('kind', ENTRIES),
        words = h('textarea', {name: 'words', required: true, maxlength: 2000, rows: 2}),
        counts = [
            field('Prints that came', h('input', {name: 'quantity', inputmode: 'numeric', required: true})),
            field('Of these damaged, short or wrong', h('input', {name: 'faulty', inputmode: 'numeric'})),
        ],
        signed = signedFields(shared.shop.who),
        undo = new Undo(shared.outbox, shared.notices, done);
    const said = h('div', {role: 'alert'}),
        button = h('button', null, 'Record it');
    const send = async event => {
        event.preventDefault();
        button.disabled = true;
        fill(said);
        try {
            const receipt = await shared.outbox.record(
                job,
                {kind: kind.value, words: words.value.trim(), ...counted(counts), ...signedValues(signed)},
                `${kind.value} of ${job}`,
            );
            form.reset();
            undo.offer(receipt);
            if (!receipt.kept) done();
        } catch (trouble) {
            fill(said, mark('stop', /** @type {Error} */ (trouble).message));
        } finally {
            button.disabled = false;
        }
    };
    const form = h(
        'form',
        {onsubmit: send},
        h('div', {class: 'fields'}, field('Put on record', kind), counts, field('In words', words), signed),
        said,
        undo.element,
        button,
    );
    const show = () => {
        for (const one of counts) {
            one.hidden = kind.value !== 'prints-in';
            one.querySelector('input').disabled = one.hidden;
        }
    };
    kind.addEventListener('change', show);
    show();
    return form;
}

/**
 * @param {HTMLElement} container @param {Shared} shared @param {string} job
 * @returns {Promise<void>}
 */
export async function drawRecord(container, shared, job) {
    const facts = (await get(jobAddress(job, 'facts'))).facts.filter(fact => !fact.undone),
        mayChange = shared.shop.role !== 'viewer';
    const again = () => drawRecord(container, shared, job);
    fill(
        container,
        facts.length
            ? h(
                  'ol',
                  {class: 'plain record', tabindex: 0, 'aria-label': 'Entries, newest first'},
                  facts.map(fact => item(fact, shared.units, mayChange && (one => correction(shared, job, one, again)))),
              )
            : h(
                  'p',
                  {class: 'quiet-words'},
                  'Nothing is on record yet. What is printed, hung, laminated and installed is entered on each panel\u2019s page.',
              ),
    );
}
