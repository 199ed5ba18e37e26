// Asks for a reason, with who and when, and puts it on record.

import {fill, h} from './dom.js';
import {mark} from './severity.js';
import {signedFields, signedValues} from './signed.js';

/**
 * @param {{heading: string, words: string, button: string, person: string | null}} asked
 * @param {(fields: Record<string, string>) => Promise<unknown>} send with words, who and at; what it throws is shown,
 *   and what was typed stays
 */
export function askReason({heading, words, button, person}, send) {
    const reason = h('input', {name: 'words', required: true, maxlength: 2000, autocomplete: 'off'});
    const said = h('p', {role: 'alert'}),
        signed = signedFields(person);
    const submit = async event => {
        event.preventDefault();
        event.submitter.disabled = true;
        try {
            await send({words: reason.value.trim(), ...signedValues(signed)});
            dialog.close();
        } catch (trouble) {
            fill(said, mark('stop', /** @type {Error} */ (trouble).message));
        } finally {
            event.submitter.disabled = false;
        }
    };
    const dialog = h(
        'dialog',
        {'aria-labelledby': 'reason-heading', onclose: () => dialog.remove()},
        h(
            'form',
            {onsubmit: submit},
            h('h2', {id: 'reason-heading'}, heading),
            h('p', null, words),
            h('label', {class: 'field'}, 'Why', reason),
            signed,
            said,
            h(
                'p',
                {class: 'actions'},
                h('button', {class: 'main'}, button),
                h('button', {type: 'button', onclick: () => dialog.close()}, 'Leave it as it is'),
            ),
        ),
    );
    document.body.append(dialog);
    dialog.showModal();
    reason.focus();
}
