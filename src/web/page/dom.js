// Elements are built by functions, never from text: what a person or a file says cannot become markup.

import {isChanged} from './unsaved.js';

const SVG = 'http://www.w3.org/2000/svg';

/**
 * @typedef {Node | string | number | null | undefined | false} Leaf
 * @typedef {Leaf | readonly any[]} Child
 * Lists are flattened; null, undefined and false leave nothing.
 */

/** What a field begins with is known afterwards: what differs was typed. @param {any} element @param {unknown} value */
function setValue(element, value) {
    if ('defaultValue' in element) element.defaultValue = value;
    element.value = value;
}

/** @param {Element} element @param {Record<string, unknown>} attributes */
function setAttributes(element, attributes) {
    for (const [name, value] of Object.entries(attributes)) {
        if (value === null || value === undefined || value === false) continue;
        if (name.startsWith('on'))
            element.addEventListener(name.slice(2), /** @type {EventListener} */ (value));
        else if (name === 'value' && 'value' in element) setValue(element, value);
        else element.setAttribute(name, value === true ? '' : String(value));
    }
}

/** @param {Element} element @param {Child[]} children */
function addChildren(element, children) {
    for (const child of children.flat(Infinity))
        if (child !== null && child !== undefined && child !== false)
            element.append(/** @type {Node} */ (child));
}

/**
 * An HTML element: `h('a', {href: '/', onclick: go}, 'words')`.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag @param {Record<string, unknown> | null} [attributes] @param {...Child} children
 */
export function h(tag, attributes, ...children) {
    const element = document.createElement(tag);
    addChildren(element, children);
    setAttributes(element, attributes ?? {});
    return element;
}

/**
 * An SVG element, like h.
 * @param {string} tag
 * @param {Record<string, unknown> | null} [attributes]
 * @param {...Child} children
 */
export function s(tag, attributes, ...children) {
    const element = document.createElementNS(SVG, tag);
    addChildren(element, children);
    setAttributes(element, attributes ?? {});
    return element;
}

/**
 * What a person has typed, chosen and opened below, by the names of elements.
 * @param {Element} container
 * @returns {(fresh: Element) => void} does the same to what is drawn instead
 */
function handwork(container) {
    const found = selector => /** @type {any[]} */ ([...container.querySelectorAll(selector)]);
    const typed = found('input[data-focus], select[data-focus], textarea[data-focus]').filter(isChanged);
    const open = found('details[data-open]').filter(one => one.open);
    return fresh => {
        const again = (name, words) => /** @type {any} */ (fresh.querySelector(`[${name}="${CSS.escape(words)}"]`));
        for (const one of typed) {
            const now = again('data-focus', one.dataset.focus);
            if (now) now.value = one.value;
        }
        for (const one of open) {
            const now = again('data-open', one.dataset.open);
            if (now) now.open = true;
        }
    };
}

/**
 * Puts other content into a container. The focus stays on the element with the same `data-focus`, what was typed in
 * such an element stays, `data-open` details stay open, and what was scrolled stays where it was, so that a view can be
 * drawn again under someone's hands.
 * @param {Element} container @param {...Child} children
 */
export function fill(container, ...children) {
    const active = /** @type {HTMLElement | null} */ (document.activeElement);
    const focus = active && container.contains(active) ? active.dataset.focus : undefined;
    const top = container.scrollTop,
        keep = handwork(container);
    container.replaceChildren();
    addChildren(container, children);
    keep(container);
    container.scrollTop = top;
    if (focus)
        /** @type {HTMLElement | null} */ (
            container.querySelector(`[data-focus="${CSS.escape(focus)}"]`)
        )?.focus({preventScroll: true});
}

let lastId = 0;
/** An id that no other element of this page has. @param {string} stem */
export const freshId = stem => `${stem}-${++lastId}`;

/**
 * A labelled field. `control` is an input, select or textarea; `help` stands under it and is read with it.
 * @param {Child} label @param {HTMLElement} control @param {Child} [help]
 */
export function field(label, control, help) {
    control.id ||= freshId('field');
    const note = help ? h('span', {class: 'help', id: `${control.id}-help`}, help) : null;
    if (note) control.setAttribute('aria-describedby', note.id);
    return h('div', {class: 'field'}, h('label', {for: control.id}, label), control, note);
}

/**
 * A choice of words.
 * @param {string} name
 * @param {(string | [string, string])[]} options
 * @param {string} [chosen]
 */
export function choice(name, options, chosen) {
    return h(
        'select',
        {name},
        options.map(option => {
            const [value, words] = Array.isArray(option) ? option : [option, option];
            return h('option', {value, selected: value === chosen}, words);
        }),
    );
}

/** A section with its heading. @param {string} id @param {Child} heading @param {...Child} children */
export const section = (id, heading, ...children) =>
    h(
        'section',
        {id, 'aria-labelledby': `${id}-heading`, class: 'sheet'},
        h('h2', {id: `${id}-heading`}, heading),
        children,
    );

/**
 * The fields of a form as words, empty ones left out.
 * @param {HTMLFormElement} form
 * @returns {Record<string, string>}
 */
export function typed(form) {
    /** @type {Record<string, string>} */
    const fields = {};
    for (const [name, value] of new FormData(form))
        if (typeof value === 'string' && value.trim()) fields[name] = value.trim();
    return fields;
}

/**
 * The head of a table, a column each; those of figures stand to the right.
 * @param {string[]} names @param {string[]} [amounts] names of the columns of figures that follow
 */
export const tableHead = (names, amounts = []) =>
    h(
        'thead',
        null,
        h(
            'tr',
            null,
            names.map(name => h('th', {scope: 'col'}, name)),
            amounts.map(name => h('th', {scope: 'col', class: 'amount'}, name)),
        ),
    );
