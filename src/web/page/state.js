// The right end of the bar: network, entries that wait for it, units, and who is here.

import {h} from './dom.js';
import {mark} from './severity.js';
import {plural} from './words.js';

/** @typedef {import('./app.js').Shared} Shared */

/** @param {Shared} shared @param {import('./outbox.js').Entry} entry */
function refusedEntry(shared, entry) {
    const reason = h('input', {name: 'reason', required: true, maxlength: 2000});
    const send = event => {
        event.preventDefault();
        shared.outbox.sendWithReason(entry, reason.value.trim());
    };
    return h(
        'form',
        {class: 'refused', onsubmit: send},
        h('p', null, mark('warn', `${entry.words}: not recorded. ${entry.refused}`)),
        h('label', null, 'Reason to go on all the same', reason),
        h('button', null, 'Send with the reason'),
        h(
            'button',
            {type: 'button', class: 'quiet', onclick: () => shared.outbox.drop(entry)},
            'It was not so: forget it',
        ),
    );
}

/** @param {Shared} shared */
function waiting({outbox}) {
    const open = outbox.entries.filter(entry => !entry.refused);
    return open.length > 0 && mark('warn', `${plural(open.length, 'entry', 'entries')} wait to be sent`);
}

/** @param {Shared} shared @param {() => void} changeUnits @param {() => void} drawAgain */
export function stateBar(shared, changeUnits, drawAgain) {
    const change = () => (changeUnits(), drawAgain());
    const signOut = h(
        'form',
        {method: 'post', action: '/sign-out'},
        h('button', {class: 'quiet'}, `Sign out ${shared.shop.who}`),
    );
    return [
        !shared.live.here && mark('warn', 'network away'),
        waiting(shared),
        shared.outbox.entries.filter(entry => entry.refused).map(entry => refusedEntry(shared, entry)),
        h(
            'button',
            {class: 'quiet rest', 'data-focus': 'units', onclick: change},
            shared.units.inches ? 'Show millimetres' : 'Show inches',
        ),
        shared.shop.role === 'viewer' && mark('note', 'may look, not change'),
        shared.shop.who && signOut,
    ];
}
