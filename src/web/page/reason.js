// Asks for a reason, with who and when, and puts it on record.

import {openDialog} from './dialog.js';
import {h} from './dom.js';
import {signedFields, signedValues} from './signed.js';

/**
 * @param {{heading: string, words: string, button: string, person: string | null, more?: import('./dom.js').Child}} asked
 *   more: fields of the caller's below the reason
 * @param {(fields: Record<string, string>) => Promise<unknown>} send with words, who and at; what it throws is shown,
 *   and what was typed stays
 */
export function askReason({heading, words, button, person, more}, send) {
    const reason = h('input', {name: 'words', required: true, maxlength: 2000, autocomplete: 'off'}),
        signed = signedFields(person);
    const body = [h('p', null, words), h('label', {class: 'field'}, 'Why', reason), more, signed];
    openDialog({heading, body, button, leave: 'Leave it as it is'}, async () => {
        await send({words: reason.value.trim(), ...signedValues(signed)});
        return undefined;
    });
    reason.focus();
}
