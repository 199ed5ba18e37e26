// Features and keep-whole boxes: drawn by pointing in the picture, or typed as numbers.

import {choice, field, fill, h} from './dom.js';
import {asYaml} from './job-form.js';
import {surfaceChange} from './job-model.js';
import {figureOf, quoted} from './words.js';

/** @typedef {import('./words.js').Units} Units */

/** @typedef {import('./job-model.js').JobModel} JobModel */
/**
 * @typedef {(changes: [string, string][], words: string) => Promise<boolean>} Save writes into job.yaml, says
 *   so, false when refused
 */

/**
 * @typedef {{name: string, help: string, film: string, seams: string, list: string, form: 'box' | 'line', keys: {name:
 *   string, words: string, example: string, needed: boolean}[]}} Kind as the server describes it
 */

const CORNERS = {box: ['x', 'y', 'width', 'height'], line: ['x1', 'y1', 'x2', 'y2']};

/**
 * Numbers of a drag from one point to another, whole millimetres.
 * @param {string} form
 * @param {{x: number, y: number}} a
 * @param {{x: number, y: number}} b
 */
export function drawn(form, a, b) {
    const round = Math.round;
    if (form === 'line')
        return Math.abs(a.x - b.x) < Math.abs(a.y - b.y)
            ? [round(a.x), round(a.y), round(a.x), round(b.y)]
            : [round(a.x), round(a.y), round(b.x), round(a.y)];
    return [
        round(Math.min(a.x, b.x)),
        round(Math.min(a.y, b.y)),
        round(Math.abs(a.x - b.x)),
        round(Math.abs(a.y - b.y)),
    ];
}

/**
 * The entry as YAML of one line.
 * @param {Kind} kind
 * @param {Record<string, string>} fields
 * @param {number[]} numbers
 */
function entry(kind, {name, ...more}, numbers) {
    const parts = kind.list === 'features' ? [`kind: ${kind.name}`] : [];
    parts.push(`${kind.form}: [${numbers.join(', ')}]`);
    if (name) parts.push(`name: ${quoted(name)}`);
    for (const key of kind.keys) if (more[key.name]) parts.push(`${key.name}: ${asYaml(more[key.name])}`);
    return `{${parts.join(', ')}}`;
}

/**
 * The change that adds it.
 * @param {any} tree
 * @param {string} surface
 * @param {string} key `features` or `keep-whole`
 * @param {string} value
 * @returns {[string, string]}
 */
function addition(tree, surface, key, value) {
    const there = tree.surfaces?.find?.(one => one.name === surface);
    return Array.isArray(there?.[key])
        ? [`surfaces.${surface}.${key}.+`, value]
        : surfaceChange(tree, surface, key, `[${value}]`);
}

/** What job.yaml says already, each with a way to take it out. @param {JobModel} model @param {Units} units @param {Save} save */
function existing(model, units, save) {
    const own = (model.data.surfaces ?? []).flatMap(surface =>
        surface.features.filter(feature => feature.path).map(feature => ({surface, feature})),
    );
    if (!own.length) return null;
    return h(
        'ul',
        {class: 'plain'},
        own.map(({surface, feature}) =>
            h(
                'li',
                {class: 'row'},
                h(
                    'span',
                    null,
                    `${surface.name}: ${feature.kind} ${feature.name ?? ''} `,
                    h(
                        'span',
                        {class: 'quiet-words'},
                        (feature.box_mm ?? feature.line_mm).map(mm => units.figure(mm)).join(', '),
                    ),
                ),
                h(
                    'button',
                    {
                        type: 'button',
                        class: 'quiet',
                        onclick: () =>
                            save([[feature.path, '']], `${feature.kind} on ${surface.name} is taken out`),
                    },
                    'Take out',
                ),
            ),
        ),
    );
}

/** A field that says the same number already stays as it was typed. @param {HTMLInputElement} input @param {Units} units @param {number} [mm] */
function showFigure(input, units, mm) {
    if (mm === undefined || Number.isNaN(mm) || Math.abs(units.toMm(figureOf(input)) - mm) < 0.06) return;
    input.value = units.typed(mm);
    figureOf(input);
}

/** The form; it and the picture hold one draft, `model.draft`. */
export class FeatureForm {
    /** @param {HTMLElement} container @param {Kind[]} kinds @param {JobModel} model @param {Units} units @param {Save} save */
    constructor(container, kinds, model, units, save) {
        this.container = container;
        this.kinds = kinds;
        this.model = model;
        this.units = units;
        this.save = save;
        this.hint = h('p', {class: 'quiet-words'});
        this.list = h('div', null);
        this.numbers = h('div', {class: 'fields'});
        this.more = h('div', {class: 'fields'});
        this.meaning = h('p', {class: 'quiet-words'});
        this.kind = choice(
            'kind',
            kinds.map(kind => kind.name),
        );
        this.surface = h('select', {name: 'surface'});
        for (const select of [this.kind, this.surface])
            select.addEventListener('change', () => this.#start());
        this.form = h(
            'form',
            {onsubmit: event => (event.preventDefault(), this.#send())},
            h(
                'div',
                {class: 'fields'},
                field('What it is', this.kind),
                field('On', this.surface),
                field('Name', h('input', {name: 'name', maxlength: 200})),
            ),
            this.meaning,
            this.hint,
            this.numbers,
            this.more,
            h(
                'p',
                {class: 'actions'},
                h('button', {class: 'main'}, 'Add it'),
                h('button', {type: 'button', onclick: () => this.close()}, 'Done drawing'),
            ),
        );
        this.opener = h('button', {onclick: () => this.open()}, 'Draw a feature');
        this.close();
    }

    /** Shows what is there; a form that is open keeps what was typed. */
    draw() {
        const names = this.model.surfaceNames;
        if ([...this.surface.options].map(option => option.value).join() !== names.join())
            fill(
                this.surface,
                names.map(name => h('option', {value: name}, name)),
            );
        this.opener.disabled = !names.length;
        fill(this.list, existing(this.model, this.units, this.save));
        this.hint.textContent = `Draw it in the picture, or type its numbers: ${this.units.inches ? 'inches' : 'millimetres'}, from the lower left corner of the surface.`;
        if (this.model.draft)
            for (const [i, input] of this.#inputs().entries())
                if (document.activeElement !== input) showFigure(input, this.units, this.model.draft.numbers[i]);
    }

    open() {
        fill(this.container, this.list, this.form);
        this.#start();
    }

    close() {
        this.model.draft = null;
        fill(this.container, this.list, this.opener);
        if (this.model.data) this.model.choose(null);
    }

    #inputs() {
        return /** @type {HTMLInputElement[]} */ ([...this.numbers.querySelectorAll('input')]);
    }

    /** What is typed, to 0.1 mm. */
    #millimetres() {
        return this.#inputs().map(input => Math.round(this.units.toMm(figureOf(input)) * 10) / 10);
    }

    /** @returns {Kind} */
    #chosen() {
        return this.kinds.find(kind => kind.name === this.kind.value);
    }

    #start() {
        const {form, help, film, seams, keys} = this.#chosen();
        this.meaning.textContent = `${help}. Film: ${film}. Seams: ${seams}.`;
        this.model.draft = {surface: this.surface.value, form, numbers: []};
        const typed = () => {
            this.model.draft.numbers = this.#millimetres();
            this.model.choose(null);
        };
        fill(
            this.numbers,
            CORNERS[form].map(name =>
                field(name, h('input', {inputmode: 'decimal', autocomplete: 'off', required: true, oninput: typed})),
            ),
        );
        fill(
            this.more,
            keys.map(({name, words, example, needed}) =>
                field(words, h('input', {name, placeholder: example, required: needed})),
            ),
        );
        this.model.choose(null);
    }

    async #send() {
        const fields = /** @type {Record<string, string>} */ (Object.fromEntries(new FormData(this.form)));
        const kind = this.#chosen();
        const change = addition(
            this.model.written,
            fields.surface,
            kind.list,
            entry(
                kind,
                fields,
                this.#millimetres(),
            ),
        );
        if (await this.save([change], `${fields.kind} on ${fields.surface} is added`)) this.#start();
    }
}
