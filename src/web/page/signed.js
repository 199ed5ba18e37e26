// Who makes an entry, and when it was done. Who is chosen once and remembered on this device; when is now, or typed.

import {field, h} from './dom.js';

const STORE = 'lapstrake-who';
/** Names that this device has entered are offered again. */
const NAMES_MOST = 12;

/** @param {string | null} person who is signed in */
const place = person => `${STORE} ${person ?? ''}`;

/** @returns {string[]} newest first */
function names() {
    try {
        return JSON.parse(localStorage.getItem(STORE) ?? '[]');
    } catch {
        return [];
    }
}

/** Who makes entries on this device. @param {string | null} person who is signed in */
export const whoNow = person => localStorage.getItem(place(person)) ?? person ?? '';

/** @param {string | null} person @param {string} who */
function remember(person, who) {
    localStorage.setItem(place(person), who);
    if (who)
        localStorage.setItem(
            STORE,
            JSON.stringify([who, ...names().filter(one => one !== who)].slice(0, NAMES_MOST)),
        );
}

/** @param {HTMLElement} list */
const offer = list => list.replaceChildren(...names().map(name => h('option', {value: name})));

/**
 * A who that is changed holds for all forms of the page, and for later ones.
 * @param {() => string | null} person who is signed in
 */
export function followWho(person) {
    document.body.append(h('datalist', {id: 'who-names'}));
    offer(/** @type {HTMLElement} */ (document.getElementById('who-names')));
    document.addEventListener('change', event => {
        const input = /** @type {HTMLInputElement} */ (event.target);
        if (input.name !== 'who') return;
        remember(person(), input.value.trim());
        offer(/** @type {HTMLElement} */ (document.getElementById('who-names')));
        showWho(document, input.value.trim());
    });
}

/** Puts who into every form below. @param {ParentNode} root @param {string} who */
export function showWho(root, who) {
    for (const one of root.querySelectorAll('input[name=who]')) {
        const input = /** @type {HTMLInputElement} */ (one);
        input.setAttribute('list', 'who-names');
        input.defaultValue = input.value = who;
    }
}

/** The fields of a form: who, and when. @param {string | null} person who is signed in @param {boolean} [when] */
export const signedFields = (person, when = true) =>
    h(
        'div',
        {class: 'signed'},
        field(
            'Who',
            h('input', {
                name: 'who',
                value: whoNow(person),
                maxlength: 64,
                autocomplete: 'off',
                list: 'who-names',
            }),
        ),
        when &&
            h(
                'details',
                null,
                h('summary', null, 'When: now'),
                field('At another time', h('input', {type: 'datetime-local', name: 'at'})),
            ),
    );

/** What the fields below say. @param {ParentNode} root @returns {Record<string, string>} empty ones left out */
export function signedValues(root) {
    const value = name => /** @type {HTMLInputElement | null} */ (root.querySelector(`[name=${name}]`))?.value.trim();
    return Object.fromEntries(['who', 'at'].flatMap(name => (value(name) ? [[name, value(name)]] : [])));
}

/** When is now again. @param {ParentNode} root */
export function resetWhen(root) {
    const at = /** @type {HTMLInputElement | null} */ (root.querySelector('[name=at]'));
    if (at) at.value = '';
}
