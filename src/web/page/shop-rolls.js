// Where this job's prints lie on the shop's rolls, and what is to buy: what `lapstrake rolls` wrote.

import {get} from './api.js';
import {fill, h} from './dom.js';
import {mark} from './severity.js';
import {money, plural} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */

export class ShopRolls {
    /** The list of files that the layout was last looked for in. @type {any} */
    files = null;
    /** rolls.json; null: there is none. @type {any} */
    layout = null;

    /** @param {HTMLElement} container @param {import('./words.js').Units} units */
    constructor(container, units) {
        this.container = container;
        this.units = units;
    }

    /** Fetched when the job's files were listed again. @param {JobModel} model */
    async draw(model) {
        const {files} = model.data;
        if (files !== this.files) {
            this.files = files;
            const written = files?.find(file => file.name === 'rolls.json');
            this.layout = written ? await get(written.address).catch(() => null) : null;
        }
        fill(this.container, this.layout ? this.#layout(model) : this.#none(model));
    }

    /** @param {JobModel} model */
    #none(model) {
        return h('p', {class: 'quiet-words'}, `Not laid yet. On the shop's machine: lapstrake rolls ${model.job}`);
    }

    /** @param {JobModel} model */
    #layout(model) {
        const {layout} = this,
            own = layout.jobs.find(one => one.job === model.job);
        return [
            own?.mark !== model.plan?.mark &&
                h('p', null, mark('warn', 'Laid for another plan than this one. Lay the rolls again.')),
            layout.findings.map(one => h('p', null, mark(one.severity, `${one.where}: ${one.text}`))),
            h('ul', {class: 'plain'}, layout.rolls.map(roll => this.#roll(roll))),
            h('h3', null, 'To buy'),
            this.#purchases(model),
        ];
    }

    #roll(roll) {
        const {units} = this,
            picture = this.files.find(file => file.name === roll.picture.replace('.svg', '.png')),
            batch = roll.batch ? `, batch ${roll.batch}` : '',
            words = `${roll.roll}: ${roll.film}, ${units.length(roll.width_mm)} wide${batch}: ${units.run(roll.used_mm)} of ${units.run(roll.length_mm)}`,
            cuts = this.layout.off_cuts.filter(cut => cut.cut_from === roll.roll);
        return h(
            'li',
            null,
            h('p', null, words),
            picture && h('img', {class: 'laid', src: picture.address, alt: `Where ${plural(roll.placements.length, 'print')} lie on ${roll.roll}`}),
            cuts.map(cut =>
                h('p', {class: 'quiet-words'}, `Keep ${cut.name}: ${units.length(cut.width_mm)} x ${units.length(cut.length_mm)}`),
            ),
        );
    }

    /** @param {JobModel} model */
    #purchases(model) {
        const {units, layout} = this;
        if (!layout.buy.length) return h('p', null, 'Nothing.');
        return h(
            'ul',
            null,
            layout.buy.map(line =>
                h(
                    'li',
                    null,
                    `${plural(line.rolls, 'roll')} of ${line.film}, ${units.length(line.width_mm)} x ${units.run(line.length_mm)}`,
                    line.missing ? ', no price' : `: ${money(line.cost, model.data.currency)}`,
                ),
            ),
        );
    }
}
