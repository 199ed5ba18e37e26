// A dialog whose form is sent to the server: what the server refuses is shown, and what was typed stays.

import {fill, freshId, h} from './dom.js';
import {mark} from './severity.js';

/**
 * @param {{heading: string, body: import('./dom.js').Child, button: string, leave: string}} shown leave: the button
 *   that closes it and does nothing
 * @param {(form: HTMLFormElement) => Promise<(() => unknown) | undefined>} send throws what is shown; what it gives is done
 *   once the dialog is closed
 */
export function openDialog({heading, body, button, leave}, send) {
    const said = h('p', {role: 'alert'}),
        id = freshId('dialog-heading');
    const submit = async event => {
        event.preventDefault();
        event.submitter.disabled = true;
        try {
            const after = await send(event.target);
            dialog.close();
            await after?.();
        } catch (trouble) {
            fill(said, mark('stop', /** @type {Error} */ (trouble).message));
        } finally {
            event.submitter.disabled = false;
        }
    };
    const dialog = h(
        'dialog',
        {'aria-labelledby': id, onclose: () => dialog.remove()},
        h(
            'form',
            {onsubmit: submit},
            h('h2', {id, tabindex: -1, autofocus: true}, heading),
            body,
            said,
            h(
                'p',
                {class: 'actions'},
                h('button', {class: 'main'}, button),
                h('button', {type: 'button', onclick: () => dialog.close()}, leave),
            ),
        ),
    );
    document.body.append(dialog);
    dialog.showModal();
}
