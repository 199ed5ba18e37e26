// What was typed into forms that the server draws goes with them when they are drawn again.

import {isChanged} from './unsaved.js';

/** @param {HTMLFormElement} form @param {string} name */
const valueOf = (form, name) => /** @type {any} */ (form.querySelector(`[name=${name}]`))?.value ?? '';

/** A form is the same when it records the same kind of thing. @param {HTMLFormElement} form */
const nameOf = form => ['kind', 'withdraws'].map(name => valueOf(form, name)).join(' ');

/** @param {Element} root */
const forms = root => new Map([...root.querySelectorAll('form')].map(form => [nameOf(form), form]));

/** @param {Element} details */
const nameOfDetails = details =>
    `${details.closest('form') ? nameOf(details.closest('form')) : ''} ${details.querySelector('summary')?.textContent?.trim()}`;

/** @param {any} field */
const wordsOf = field => (field instanceof HTMLSelectElement ? field.selectedOptions[0].text : field.value);

/** Puts a typed value into the field of the same name. @param {any} field @param {HTMLFormElement | undefined} form */
function carry(field, form) {
    const fresh = /** @type {any} */ (form?.querySelector(`[name=${CSS.escape(field.name)}]`));
    if (!fresh) return false;
    fresh.value = field.value;
    return fresh.value === field.value;
}

/**
 * Carries what was typed, chosen and opened from one drawing of forms to the next.
 * @param {Element} from @param {Element} to @returns {string[]} what has no place any more
 */
export function carryTyped(from, to) {
    const fresh = forms(to),
        lost = [];
    for (const [name, form] of forms(from))
        for (const field of /** @type {HTMLInputElement[]} */ ([...form.elements]).filter(isChanged))
            if (field.type !== 'file' && !carry(field, fresh.get(name))) lost.push(wordsOf(field));
    const open = new Set([...from.querySelectorAll('details[open]')].map(nameOfDetails));
    for (const one of to.querySelectorAll('details')) one.open = open.has(nameOfDetails(one));
    return lost;
}
