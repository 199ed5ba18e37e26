// Who may use the page on a network.

import {get, post} from './api.js';
import {choice, field, fill, h, tableHead, typed} from './dom.js';
import {mark} from './severity.js';

const ROLES = {shop: 'shop: may change and record', viewer: 'viewer: may look only'};

/** @type {import('./router.js').ShowView} */
export async function show(main, shared) {
    const table = h('div', null),
        said = h('p', {role: 'alert'});
    const change = async fields => {
        try {
            await post('/api/people', fields);
            fill(said);
            await refresh();
            return true;
        } catch (trouble) {
            fill(said, mark('stop', /** @type {Error} */ (trouble).message));
            return false;
        }
    };
    const may = shared.shop.role !== 'viewer';
    const remove = person =>
        may &&
        h(
            'button',
            {
                class: 'quiet',
                'data-focus': `remove-${person.name}`,
                onclick: () => change({name: person.name, remove: 'yes'}),
            },
            `Take ${person.name} off`,
        );
    const refresh = async () => {
        const {people, you} = await get('/api/people');
        fill(
            table,
            people.length
                ? h(
                      'table',
                      {class: 'sheet'},
                      tableHead(['Name', 'May', may && 'Change'].filter(Boolean)),
                      h(
                          'tbody',
                          null,
                          people.map(person =>
                              h(
                                  'tr',
                                  null,
                                  h('th', {scope: 'row'}, person.name, person.name === you && ' (you)'),
                                  h('td', null, ROLES[person.role] ?? person.role),
                                  may && h('td', null, remove(person)),
                              ),
                          ),
                      ),
                  )
                : h(
                      'p',
                      {class: 'empty sheet'},
                      'Nobody is entered: the page answers this machine only, without signing in. Enter yourself first, and phones and tablets on the network can sign in.',
                  ),
        );
    };
    const send = async event => {
        event.preventDefault();
        if (await change(typed(event.target))) event.target.reset();
    };
    fill(
        main,
        h('h1', null, 'People'),
        table,
        may && h(
            'form',
            {class: 'sheet', onsubmit: send},
            h('h2', null, 'Enter a person, or set another password'),
            h(
                'div',
                {class: 'fields'},
                field('Name', h('input', {name: 'name', required: true, maxlength: 64, autocomplete: 'off'})),
                field(
                    'May',
                    choice(
                        'role',
                        Object.entries(ROLES).map(([role, words]) => [role, words]),
                    ),
                ),
                field(
                    'Password',
                    h('input', {
                        name: 'password',
                        type: 'password',
                        required: true,
                        autocomplete: 'new-password',
                    }),
                    'A few unrelated words are easy to type with gloves.',
                ),
            ),
            said,
            h('button', {class: 'main'}, 'Enter'),
        ),
    );
    await refresh();
    return {title: 'People', refresh};
}
