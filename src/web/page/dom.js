// Elements are built by functions, never from text: what a person or a file says cannot become markup.

const SVG = 'http://www.w3.org/2000/svg';

/**
 * @typedef {Node | string | number | null | undefined | false | Child[]} Child
 * Lists are flattened; null, undefined and false leave nothing.
 */

/** @param {Element} element @param {Record<string, unknown>} attributes */
function setAttributes(element, attributes) {
    for (const [name, value] of Object.entries(attributes)) {
        if (value === null || value === undefined || value === false) continue;
        if (name.startsWith('on'))
            element.addEventListener(name.slice(2), /** @type {EventListener} */ (value));
        else if (name === 'value' && 'value' in element) element.value = value;
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
 * @param {string} tag @param {Record<string, unknown> | null} [attributes] @param {...Child} children
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
 * Puts other content into a container. The focus stays on the element with the same `data-focus`, and
 * what was scrolled stays where it was, so that a view can be drawn again under someone's hands.
 * @param {Element} container @param {...Child} children
 */
export function fill(container, ...children) {
    const active = /** @type {HTMLElement | null} */ (document.activeElement);
    const focus = active && container.contains(active) ? active.dataset.focus : undefined;
    const top = container.scrollTop;
    container.replaceChildren();
    addChildren(container, children);
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
    const fields = {};
    for (const [name, value] of new FormData(form))
        if (typeof value === 'string' && value.trim()) fields[name] = value.trim();
    return fields;
}
