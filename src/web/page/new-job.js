// A new job: a number, a title, a condition, surfaces with artwork; the rest can be said later. What is made is a
// job folder that the command line reads too.

import {Refusal, get, jobAddress, post} from './api.js';
import {conditionFacts} from './conditions.js';
import {field, fill, h} from './dom.js';
import {mark} from './severity.js';
import {SurfaceRow} from './surface-row.js';
import {quoted} from './words.js';

/** @typedef {import('./app.js').Shared} Shared */

const NAMES = ['left', 'right', 'rear', 'roof', 'bonnet'];

/**
 * Writes into the new job's file, on whatever it holds now.
 * @param {string} job
 * @param {[string, string][]} changes
 */
async function write(job, changes) {
    const {fingerprint} = await get(jobAddress(job, 'written'));
    return post(jobAddress(job, 'edit'), [
        ['fingerprint', fingerprint],
        ...changes.flatMap(([path, value]) => [
            ['path', path],
            ['value', value],
        ]),
    ]);
}

class NewJob {
    /** The folder that is there already, when a later step was refused. @type {string | null} */
    #job = null;
    #surfacesWritten = false;
    /** @type {SurfaceRow[]} */
    #rows = [];

    /** @param {Shared} shared @param {any[]} conditions */
    constructor(shared, conditions) {
        this.shared = shared;
        this.conditions = conditions;
        this.number = h('input', {
            name: 'number',
            required: true,
            maxlength: 60,
            pattern: '[A-Za-z0-9_\\-]+',
            autocomplete: 'off',
        });
        this.title = h('input', {name: 'title', required: true, maxlength: 200, autocomplete: 'off'});
        this.due = h('input', {type: 'datetime-local', name: 'due'});
        this.vehicle = h('input', {name: 'vehicle', maxlength: 200});
        this.condition = h(
            'select',
            {name: 'condition', onchange: () => this.#showCondition()},
            conditions.map(one => h('option', {value: one.name}, one.name)),
        );
        this.limits = h('div', null);
        this.surfaces = h('div', null);
        this.said = h('div', {role: 'alert'});
        this.button = h('button', {class: 'main'}, 'Make the job and plan it');
        this.form = this.#makeForm();
        this.#showCondition();
        this.#addRow();
    }

    #makeForm() {
        return h(
            'form',
            {class: 'new-job', onsubmit: event => (event.preventDefault(), this.#send())},
            h(
                'section',
                {class: 'sheet'},
                h('h2', null, 'Job'),
                h(
                    'div',
                    {class: 'fields'},
                    field('Number', this.number, 'Letters, digits, - and _: it becomes part of file names.'),
                    field('Title', this.title),
                    field(
                        'Vehicle',
                        this.vehicle,
                        'What people call it, or the path of a measured vehicle\u2019s file.',
                    ),
                    field('Due', this.due, 'When the vehicle must be finished; may be left out.'),
                ),
            ),
            h(
                'section',
                {class: 'sheet'},
                h('h2', null, 'Printing condition'),
                this.conditions.length
                    ? [field('Condition', this.condition), this.limits]
                    : h(
                          'p',
                          null,
                          'The shop file names no condition yet: a shop.yaml beside the job folders is needed before a job can be planned. The job can be made all the same.',
                      ),
            ),
            h(
                'section',
                {class: 'sheet'},
                h('h2', null, 'Surfaces and artwork'),
                this.surfaces,
                h('button', {type: 'button', onclick: () => this.#addRow()}, 'Another surface'),
                h(
                    'p',
                    {class: 'help'},
                    'Features such as handles and door gaps are drawn in the picture afterwards. A surface without a size is left to the vehicle\u2019s file.',
                ),
            ),
            this.said,
            h('p', {class: 'actions'}, this.button),
        );
    }

    #showCondition() {
        const chosen = this.conditions.find(one => one.name === this.condition.value);
        fill(
            this.limits,
            chosen && conditionFacts(chosen),
            chosen?.findings.map(finding => h('p', null, mark(finding.severity), ' ', finding.text)),
        );
    }

    #addRow() {
        const row = new SurfaceRow(NAMES[this.#rows.length] ?? `surface ${this.#rows.length + 1}`, gone => {
            this.#rows = this.#rows.filter(one => one !== gone);
            gone.element.remove();
        });
        this.#rows.push(row);
        this.surfaces.append(row.element);
    }

    /** Each step is done once: after a refusal the next try goes on where this one stopped. */
    async #send() {
        this.button.disabled = true;
        fill(this.said);
        const stay = event => event.preventDefault();
        window.addEventListener('beforeunload', stay);
        try {
            this.#job ??= (
                await post('/api/new', {number: this.number.value.trim(), title: this.title.value.trim()})
            ).job;
            if (!this.#surfacesWritten) await this.#writeJob(this.#job);
            await this.#sendArtwork(this.#job);
            await post(jobAddress(this.#job, 'plan'));
            this.shared.go(`/jobs/${encodeURIComponent(this.#job)}`);
        } catch (trouble) {
            this.#explain(trouble);
        } finally {
            this.button.disabled = false;
            window.removeEventListener('beforeunload', stay);
        }
    }

    /** @param {string} job */
    async #writeJob(job) {
        /** @type {[string, string][]} */
        const changes = [];
        if (this.condition.value) changes.push(['condition', quoted(this.condition.value)]);
        if (this.due.value) changes.push(['due', this.due.value]);
        if (this.vehicle.value.trim()) changes.push(['vehicle', quoted(this.vehicle.value.trim())]);
        const surfaces = [];
        for (const row of this.#rows) if (row.hasShape) surfaces.push(await row.yaml(job));
        if (surfaces.length) changes.push(['surfaces', `[${surfaces.join(', ')}]`]);
        if (changes.length) await write(job, changes);
        this.#surfacesWritten = true;
    }

    /** @param {string} job */
    async #sendArtwork(job) {
        for (const row of this.#rows) {
            const artwork = await row.artwork.send(job),
                name = row.name.value.trim();
            if (!artwork) continue;
            await write(
                job,
                row.hasShape
                    ? [[`surfaces.${name}.artwork`, `[${artwork}]`]]
                    : [[`artwork.${name}`, artwork]],
            );
        }
    }

    /** @param {any} trouble */
    #explain(trouble) {
        if (trouble.name === 'AbortError') return;
        const mistakes = trouble instanceof Refusal ? (trouble.body.mistakes ?? []) : [];
        fill(
            this.said,
            h('p', null, mark('stop', trouble.message)),
            mistakes.map(one => h('p', null, h('code', null, one.where), ` ${one.text}`)),
            this.#job &&
                h(
                    'p',
                    null,
                    `The job ${this.#job} is there. Mend this and go on, or `,
                    h('a', {href: `/jobs/${encodeURIComponent(this.#job)}`}, 'open it as it is'),
                    '.',
                ),
        );
        this.button.focus();
    }
}

/** @type {import('./router.js').ShowView} */
export async function show(main, shared) {
    const {conditions, trouble} = await get('/api/conditions');
    const view = new NewJob(shared, conditions);
    fill(main, h('h1', null, 'New job'), trouble && h('p', null, mark('warn', trouble)), view.form);
    return {title: 'New job'};
}
