// The right end of the bar: network, entries that wait for it, units, and who is here.

import {signInAddress, waiting} from './api.js';
import {h} from './dom.js';
import {mark} from './severity.js';
import {plural} from './words.js';

/** @typedef {import('./app.js').Shared} Shared */
/** @typedef {import('./outbox.js').Outbox} Outbox */
/** @typedef {import('./outbox.js').Entry} Entry */

/** @param {Outbox} outbox @param {Entry} entry */
function refusedEntry(outbox, entry) {
    const reason = h('input', {
        name: 'reason',
        required: true,
        maxlength: 2000,
        'data-focus': `reason-${entry.fields.key}`,
    });
    const send = event => {
        event.preventDefault();
        outbox.sendWithReason(entry, reason.value.trim());
    };
    return h(
        'form',
        {class: 'refused', onsubmit: send},
        h('p', null, mark('warn', `${entry.job}, ${entry.words}: not recorded. ${entry.refused}`)),
        h('label', null, 'Reason to go on anyway', reason),
        h('button', null, 'Send with the reason'),
        h(
            'button',
            {type: 'button', class: 'quiet', onclick: () => outbox.drop(entry)},
            `Discard ${entry.words}`,
        ),
    );
}

/** @param {Outbox} outbox @param {Entry} entry */
const waitingEntry = (outbox, entry) =>
    h(
        'li',
        {class: 'row'},
        h('span', null, `${entry.job}: ${entry.words}`),
        h('button', {class: 'quiet', onclick: () => outbox.undo({entry})}, `Take out ${entry.words}`),
    );

/** Entries that could not be sent yet, or were refused. @param {Outbox} outbox */
export function unsent(outbox) {
    const open = outbox.entries.filter(entry => !entry.refused);
    return [
        open.length > 0 &&
            h(
                'details',
                {class: 'unsent', 'data-open': 'unsent'},
                h('summary', null, mark('warn', `${plural(open.length, 'entry', 'entries')} kept to be sent`)),
                open.at(-1)?.why && h('p', null, open.at(-1)?.why),
                h(
                    'ul',
                    {class: 'plain'},
                    open.map(entry => waitingEntry(outbox, entry)),
                ),
            ),
        outbox.entries.filter(entry => entry.refused).map(entry => refusedEntry(outbox, entry)),
    ];
}

/** What keeps the server away. @param {import('./live.js').Live} live */
export const network = live => [
    !live.here && mark('warn', live.trouble?.message ?? ''),
    !live.here &&
        live.trouble?.kind === 'ended' &&
        h('a', {class: 'button', href: signInAddress()}, 'Sign in again'),
    live.here && waiting.slow && mark('warn', 'The server does not answer yet. What you typed is kept.'),
];

/** @param {Shared} shared @param {() => void} changeUnits @param {() => void} drawAgain */
export function stateBar(shared, changeUnits, drawAgain) {
    const change = () => (changeUnits(), drawAgain());
    const signOut = h(
        'form',
        {method: 'post', action: '/sign-out'},
        h('button', {class: 'quiet'}, `Sign out ${shared.shop.who}`),
    );
    return [
        network(shared.live),
        unsent(shared.outbox),
        h(
            'button',
            {class: 'quiet rest', 'data-focus': 'units', onclick: change},
            shared.units.inches ? 'Show millimetres' : 'Show inches',
        ),
        shared.shop.role === 'viewer' && mark('note', 'may look, not change'),
        shared.shop.who && signOut,
    ];
}
