// What of a surface is covered, and new pieces on it: entered here, an outline by pointing in the picture.

import {choice, field, fill, h} from './dom.js';
import {asYaml} from './job-form.js';
import {surfaceChange} from './job-model.js';
import {pieceList} from './piece-list.js';
import {mark} from './severity.js';
import {ArtworkFields} from './surface-row.js';
import {figureOf, quoted} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */
/** @typedef {import('./words.js').Units} Units */

const COVERS = [
    ['all', 'all of it'],
    ['behind', 'what lies behind a line'],
    ['before', 'what lies in front of a line'],
    ['outline', 'what lies inside an outline'],
];
const CUTS = [
    ['silhouette', 'around what it shows'],
    ['spot', 'along a spot colour of the file'],
    ['layer', 'along a layer of the file'],
    ['box', 'around its box'],
];

/** A select that keeps its choice while surfaces come and go. @param {HTMLSelectElement} select @param {string[]} names */
function offer(select, names) {
    if ([...select.options].map(option => option.value).join() === names.join()) return;
    const old = select.value;
    fill(
        select,
        names.map(name => h('option', {value: name}, name || 'nowhere else')),
    );
    if (names.includes(old)) select.value = old;
}

/** Corners as a person reads and types them. @param {number[]} numbers @param {Units} units */
const cornersWords = (numbers, units) =>
    numbers.map((mm, i) => `${units.typed(mm)}${i % 2 ? (i + 1 < numbers.length ? ', ' : '') : ' '}`).join('');

/** @param {string} words @param {Units} units @returns {number[]} NaN where one is not a number */
const cornersOf = (words, units) =>
    words
        .split(',')
        .filter(pair => pair.trim())
        .flatMap(pair => [...pair.trim().split(/\s+/), 'none'].slice(0, 2))
        .map(figure => Math.round(units.toMm(Number(figure)) * 10) / 10);

/** A form that a button opens. */
class Folded {
    /** What is shown when it is open. */
    form = h('form', null);

    /** @param {HTMLElement} container @param {string} opener */
    constructor(container, opener) {
        this.container = container;
        this.opener = h('button', {onclick: () => this.open()}, opener);
        this.said = h('div', {role: 'alert'});
        fill(container, this.opener);
    }

    open() {
        this.start();
        fill(this.container, this.form, this.said);
    }

    close() {
        fill(this.said);
        fill(this.container, this.opener);
    }

    start() {}

    /** Says what went wrong; what was typed stays. @param {() => Promise<boolean>} act */
    async guarded(act) {
        fill(this.said);
        try {
            if (await act()) this.close();
        } catch (trouble) {
            fill(this.said, mark('stop', /** @type {Error} */ (trouble).message));
        }
    }

    /** @param {import('./dom.js').Child[]} fields @param {string} button @param {() => Promise<boolean>} send */
    formOf(fields, button, send) {
        return h(
            'form',
            {onsubmit: event => (event.preventDefault(), this.guarded(send))},
            h('div', {class: 'fields'}, fields),
            h(
                'p',
                {class: 'actions'},
                h('button', {class: 'main'}, button),
                h('button', {type: 'button', onclick: () => this.close()}, 'Close'),
            ),
        );
    }
}

export class CoverForm extends Folded {
    /** @param {HTMLElement} container @param {JobModel} model @param {Units} units @param {import('./features.js').Save} save */
    constructor(container, model, units, save) {
        super(container, 'Say what is covered');
        this.model = model;
        this.units = units;
        this.save = save;
        const again = () => this.start();
        this.surface = h('select', {name: 'surface', onchange: again});
        this.how = choice('covered', /** @type {[string, string][]} */ (COVERS));
        this.how.addEventListener('change', again);
        this.at = h('input', {inputmode: 'decimal', autocomplete: 'off'});
        this.corners = h('input', {autocomplete: 'off', oninput: () => this.#typed()});
        this.atField = field('The line is at', this.at, 'From the left edge; on a surface seen from above, from its lower edge.');
        this.cornersField = field(
            'Corners',
            this.corners,
            'Touch each corner in the picture, or type them: from the left, then up, a comma between two.',
        );
        this.form = this.formOf(
            [field('On', this.surface), field('Covered is', this.how), this.atField, this.cornersField],
            'Cover it so',
            () => this.#send(),
        );
    }

    draw() {
        offer(this.surface, this.model.surfaceNames);
        this.opener.disabled = !this.model.surfaceNames.length;
        const {draft} = this.model;
        if (draft?.form === 'points' && document.activeElement !== this.corners)
            this.corners.value = cornersWords(draft.numbers, this.units);
    }

    start() {
        this.atField.hidden = !['behind', 'before'].includes(this.how.value);
        this.cornersField.hidden = this.how.value !== 'outline';
        const drawn = this.how.value === 'outline';
        this.model.draft = drawn ? {surface: this.surface.value, form: 'points', numbers: []} : null;
        this.model.choose(null);
    }

    close() {
        super.close();
        this.model.draft = null;
        this.model.choose(null);
    }

    #typed() {
        this.model.sketch(cornersOf(this.corners.value, this.units));
    }

    /** What the job file shall say, '' for all; throws what is wrong. */
    #value() {
        const how = this.how.value;
        if (how === 'all') return '';
        if (how !== 'outline') {
            const at = Math.round(this.units.toMm(figureOf(this.at)) * 10) / 10;
            if (Number.isNaN(at)) throw new Error('Type where the line is, in figures.');
            return `{${how}: ${at}}`;
        }
        const numbers = this.model.draft?.numbers ?? [];
        if (numbers.length < 6 || numbers.some(Number.isNaN))
            throw new Error('An outline has three corners or more, each with two figures.');
        const pairs = numbers.flatMap((x, i) => (i % 2 ? [] : [`[${x}, ${numbers[i + 1]}]`]));
        return `{outline: [${pairs.join(', ')}]}`;
    }

    async #send() {
        const value = this.#value(),
            name = this.surface.value;
        return this.save(
            [value ? surfaceChange(this.model.written, name, 'cover', value) : [`surfaces.${name}.cover`, '']],
            `What is covered of ${name} is changed`,
        );
    }
}

export class PieceForm extends Folded {
    /** @param {HTMLElement} container @param {JobModel} model @param {Units} units @param {import('./features.js').Save} save */
    constructor(container, model, units, save) {
        const folded = h('div', null);
        super(folded, 'Add a piece');
        this.list = h('div', null);
        fill(container, this.list, folded);
        this.model = model;
        this.units = units;
        this.save = save;
        this.surface = h('select', {name: 'surface'});
        this.other = h('select', {name: 'other'});
        this.name = h('input', {required: true, maxlength: 60, placeholder: 'emblem', pattern: '[A-Za-z0-9 _\\-]+'});
        this.artwork = new ArtworkFields();
        this.artwork.placing.value = 'scale';
        this.count = h('input', {inputmode: 'numeric', value: '1'});
        this.how = choice('cut', /** @type {[string, string][]} */ (CUTS));
        this.how.addEventListener('change', () => this.start());
        this.out = h('input', {inputmode: 'decimal', value: units.typed(3)});
        this.path = h('input', {autocomplete: 'off'});
        this.outField = field(`So far outside, ${units.inches ? 'inches' : 'mm'}`, this.out);
        this.pathField = field('Called', this.path);
        const scale = this.artwork.elements[2];
        scale.hidden = false;
        this.form = this.formOf(
            [
                field('On', this.surface),
                field('Name', this.name),
                this.artwork.elements[0],
                scale,
                field('Cut', this.how),
                this.outField,
                this.pathField,
                field('Copies', this.count),
                field('The same on', this.other),
            ],
            'Add the piece',
            () => this.#send(),
        );
        this.form.prepend(this.artwork.progress);
    }

    draw() {
        const names = this.model.surfaceNames;
        offer(this.surface, names);
        offer(this.other, ['', ...names]);
        this.opener.disabled = !names.length;
        fill(this.list, pieceList(this.model, this.units, this.save));
    }

    start() {
        const named = ['spot', 'layer'].includes(this.how.value);
        this.outField.hidden = named;
        this.pathField.hidden = !named;
    }

    /** The way it is cut, for the job file. */
    #cut() {
        const how = this.how.value;
        if (how === 'spot' || how === 'layer') return `{${how}: ${quoted(this.path.value.trim())}}`;
        return `{${how}: ${Math.round(this.units.toMm(figureOf(this.out)) * 10) / 10}}`;
    }

    async #send() {
        const artwork = await this.artwork.send(this.model.job),
            name = this.surface.value,
            title = this.name.value.trim();
        if (!artwork) throw new Error('Pick a file first.');
        const parts = [`name: ${quoted(title)}`, `artwork: ${artwork}`, 'at: [100, 100]', `cut: ${this.#cut()}`];
        const count = this.count.value.trim();
        if (count && count !== '1') parts.push(`count: ${asYaml(count)}`);
        if (this.other.value && this.other.value !== name) parts.push(`other-side: ${quoted(this.other.value)}`);
        const yaml = `{${parts.join(', ')}}`,
            there = this.model.written.surfaces?.find?.(one => one.name === name)?.pieces;
        return this.save(
            [Array.isArray(there) ? [`surfaces.${name}.pieces.+`, yaml] : surfaceChange(this.model.written, name, 'pieces', `[${yaml}]`)],
            `${title} is added; drag it to its place`,
        );
    }
}
