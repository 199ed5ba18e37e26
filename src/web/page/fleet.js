// The vehicles of a fleet: what each reads and which prints are its own; their table, pasted from a spreadsheet.

import {Refusal, jobAddress, post} from './api.js';
import {field, fill, h, tableHead} from './dom.js';
import {mark} from './severity.js';
import {plural} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */

/** Columns of the table that are shown; the file may have more. */
const COLUMNS_MOST = 4;

/** @param {any[]} vehicles */
function vehicleTable(vehicles) {
    const columns = Object.keys(vehicles[0].fields).slice(0, COLUMNS_MOST);
    const own = one => [...one.panels, ...one.pieces];
    return h(
        'table',
        {class: 'cards'},
        tableHead([...columns, 'Prints of its own']),
        h(
            'tbody',
            null,
            vehicles.map(one =>
                h(
                    'tr',
                    null,
                    columns.map((name, i) =>
                        h(i ? 'td' : 'th', i ? {'data-label': name} : {scope: 'row'}, one.fields[name]),
                    ),
                    h(
                        'td',
                        {'data-label': 'Prints of its own'},
                        own(one)
                            .map(print => `${print.id}: page ${print.page} of ${print.file.replace('panels/', '')}`)
                            .join('; ') || 'none',
                    ),
                ),
            ),
        ),
    );
}

export class FleetPart {
    /** @param {HTMLElement} container @param {JobModel} model @param {(words: string, back: boolean) => Promise<void>} kept after the table is kept; `back`: job.yaml was changed too, and can be put back */
    constructor(container, model, kept) {
        this.model = model;
        this.kept = kept;
        this.shown = h('div', null);
        this.words = h('textarea', {
            name: 'fleet',
            rows: 6,
            spellcheck: 'false',
            autocomplete: 'off',
            placeholder: 'unit,plate',
            'data-focus': 'fleet-words',
        });
        this.said = h('div', {role: 'alert'});
        fill(
            container,
            this.shown,
            model.mayChange &&
                h(
                    'form',
                    {onsubmit: event => (event.preventDefault(), this.#send())},
                    field(
                        'Table of vehicles',
                        this.words,
                        'Copy the cells in a spreadsheet and paste them here, with their header row: a row for each vehicle, its name in the first column. {unit} in a text is the cell of the column unit.',
                    ),
                    this.said,
                    h('button', {class: 'main'}, 'Keep the table'),
                ),
        );
    }

    draw() {
        const vehicles = this.model.plan?.vehicles ?? [];
        fill(
            this.shown,
            vehicles.length
                ? [h('p', {class: 'quiet-words'}, plural(vehicles.length, 'vehicle')), vehicleTable(vehicles)]
                : h('p', {class: 'quiet-words'}, 'This job has no table of vehicles.'),
        );
    }

    async #send() {
        fill(this.said);
        const before = this.model.fingerprint;
        try {
            await post(jobAddress(this.model.job, 'fleet'), {
                fingerprint: before,
                words: this.words.value,
            });
        } catch (trouble) {
            if (trouble instanceof Refusal && trouble.status === 409) await this.model.load();
            return fill(this.said, this.#mistakes(/** @type {any} */ (trouble)));
        }
        this.words.value = '';
        await this.model.load();
        await this.kept('The table of vehicles is kept', this.model.fingerprint !== before);
    }

    /** Each mistake at its place in the table. @param {any} trouble */
    #mistakes(trouble) {
        const mistakes = trouble.body?.mistakes ?? [];
        if (!mistakes.length) return mark('stop', trouble.message);
        return [
            mark('stop', `The table was not kept: ${plural(mistakes.length, 'mistake')}`),
            h(
                'ul',
                {class: 'plain'},
                mistakes.map(one => h('li', null, h('code', null, one.where), ` ${one.text}`)),
            ),
        ];
    }
}
