// A new job: a number, a title, a condition, surfaces with artwork; the rest can be said later. What is made is a
// job folder that the command line reads too.

import {Refusal, get, jobAddress, post} from './api.js';
import {conditionFacts} from './conditions.js';
import {field, fill, h} from './dom.js';
import {mark} from './severity.js';
import {SurfaceRow, withArtwork} from './surface-row.js';
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
        ...changes.flatMap(([path, value]) => /** @type {[string, string][]} */ ([
            ['path', path],
            ['value', value],
        ])),
    ]);
}

class NewJob {
    /** The folder that is there already, when a later step was refused. @type {string | null} */
    #job = null;
    /** What was written into its file last, value by path. @type {Map<string, string>} */
    #written = new Map();
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
                          'The shop file names no condition yet: a shop.yaml beside the job folders is needed before a job can be planned. The job can be made anyway.',
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
        const row = new SurfaceRow(NAMES[this.#rows.length] ?? `surface ${this.#rows.length + 1}`, this.shared.units, gone => {
            this.#rows = this.#rows.filter(one => one !== gone);
            gone.element.remove();
        });
        this.#rows.push(row);
        this.surfaces.append(row.element);
    }

    /** After a refusal the next try goes on where this one stopped, with what the fields say then. */
    async #send() {
        this.button.disabled = true;
        fill(this.said);
        try {
            this.#job ??= await this.#begin();
            await this.#write(this.#job);
            for (const row of this.#rows) await row.artwork.send(this.#job);
            await this.#write(this.#job);
            await post(jobAddress(this.#job, 'plan'));
            this.shared.notices.settle();
            this.shared.go(`/jobs/${encodeURIComponent(this.#job)}`);
        } catch (trouble) {
            this.#explain(trouble);
        } finally {
            this.button.disabled = false;
        }
    }

    /** Makes the folder; its number stays. */
    async #begin() {
        const title = this.title.value.trim(),
            {job} = await post('/api/new', {number: this.number.value.trim(), title});
        this.#written.set('title', quoted(title));
        this.number.readOnly = true;
        return job;
    }

    /** What job.yaml is to say, by path. @param {string} job */
    async #wanted(job) {
        const wanted = new Map([['title', quoted(this.title.value.trim())]]);
        if (this.condition.value) wanted.set('condition', quoted(this.condition.value));
        if (this.due.value) wanted.set('due', this.due.value);
        if (this.vehicle.value.trim()) wanted.set('vehicle', quoted(this.vehicle.value.trim()));
        const surfaces = [];
        for (const row of this.#rows) {
            const artwork = row.artwork.yaml;
            if (!row.hasShape && artwork) wanted.set(`artwork.${row.name.value.trim()}`, artwork);
            if (!row.hasShape) continue;
            const yaml = await row.yaml(job);
            surfaces.push(artwork ? withArtwork(yaml, artwork) : yaml);
        }
        if (surfaces.length) wanted.set('surfaces', `[${surfaces.join(', ')}]`);
        return wanted;
    }

    /** Writes what differs from what was written last. @param {string} job */
    async #write(job) {
        const wanted = await this.#wanted(job);
        const gone = [...this.#written.keys()].filter(path => !wanted.has(path));
        /** @type {[string, string][]} */
        const changes = [
            ...gone.map(path => /** @type {[string, string]} */ ([path, ''])),
            ...[...wanted].filter(([path, value]) => this.#written.get(path) !== value),
        ];
        if (changes.length) await write(job, changes);
        this.#written = wanted;
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
    if (shared.shop.role === 'viewer')
        throw new Refusal(403, {error: 'You may look, not change anything: ask someone with the role shop.'});
    const {conditions, trouble} = await get('/api/conditions');
    const view = new NewJob(shared, conditions);
    fill(main, h('h1', null, 'New job'), trouble && h('p', null, mark('warn', trouble)), view.form);
    return {title: 'New job'};
}
