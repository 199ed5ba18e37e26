// One job: the picture, the clock, findings, panels, and all that can be done at the desk.

import {Away, Refusal, get, jobAddress, post} from './api.js';
import {askAgain} from './again.js';
import {drawAlternatives} from './alternatives.js';
import {drawChosen} from './chosen.js';
import {drawClock} from './clock.js';
import {fill, h, section} from './dom.js';
import {FeatureForm} from './features.js';
import {FleetPart} from './fleet.js';
import {drawCost, drawFiles, drawRolls} from './files.js';
import {drawFindings} from './findings.js';
import {JobForm} from './job-form.js';
import {JobHead} from './job-head.js';
import {JobModel, surfaceChange} from './job-model.js';
import {drawPanels} from './panels.js';
import {drawPicture} from './picture.js';
import {drawProof, loadProof} from './proof.js';
import {QuotePart} from './quote.js';
import {askReason} from './reason.js';
import {drawRecord, entryForm} from './record.js';
import {SetupForm} from './setup.js';
import {CoverForm, PieceForm} from './shape-forms.js';
import {drawUsed} from './used.js';
import {ShopRolls} from './shop-rolls.js';

/** @typedef {import('./app.js').Shared} Shared */

/** What the server calls the work that a button begins. */
const WORK = {plan: 'planning', make: 'making', reprint: 'making', quote: 'quoting'};

const PLACES = [
    'head',
    'picture',
    'chosen',
    'clock',
    'findings',
    'panels',
    'alternatives',
    'setup',
    'features',
    'cover',
    'pieces',
    'fleet',
    'proof',
    'files',
    'rolls',
    'laid',
    'cost',
    'quote',
    'used',
    'record',
    'form',
];

class JobView {
    /** Long work that runs: what, words, fraction. @type {any} */
    work = null;
    /** A panel asked for again, while it is made. @type {Record<string, string> | null} */
    asked = null;

    /** @param {HTMLElement} main @param {Shared} shared @param {string} job */
    constructor(main, shared, job) {
        this.main = main;
        this.shared = shared;
        this.model = new JobModel(job, shared.shop.role !== 'viewer');
        this.places = Object.fromEntries(PLACES.map(name => [name, h('div', {class: `${name}-place`})]));
        this.places.findings.setAttribute('tabindex', '0');
        this.places.panels.setAttribute('tabindex', '0');
        this.head = new JobHead(this.places.head, this);
        this.laid = new ShopRolls(this.places.laid, shared.units);
        this.setup = new SetupForm(this.places.setup, this.model, shared.units, (changes, words) =>
            this.save(changes, words),
        );
    }

    async open() {
        const [{keys, kinds}] = await Promise.all([get('/api/keys'), this.model.load()]);
        this.form = new JobForm(this.places.form, keys, (changes, words) => this.save(changes, words));
        this.features = new FeatureForm(this.places.features, kinds, this.model, this.shared.units, (changes, words) =>
            this.save(changes, words),
        );
        const save = (changes, words) => this.save(changes, words);
        this.cover = new CoverForm(this.places.cover, this.model, this.shared.units, save);
        this.pieces = new PieceForm(this.places.pieces, this.model, this.shared.units, save);
        this.fleet = new FleetPart(this.places.fleet, this.model, (words, back) => this.#kept(words, back));
        fill(this.main, this.#page());
        this.model.addEventListener('changed', () => this.#drawSoon());
        this.model.addEventListener('trouble', event =>
            this.#explain(/** @type {CustomEvent} */ (event).detail),
        );
        this.#takeWork();
        this.resize = new ResizeObserver(() => this.#drawSoon());
        this.resize.observe(this.places.picture);
        this.form.draw(this.model.written);
        this.quote = new QuotePart(this.places.quote, this);
        await Promise.all([
            drawRecord(this.places.record, this.shared, this.model.job),
            this.quote.load(),
            this.#drawUsed(),
            this.#drawProof(),
        ]);
    }

    #page() {
        const {places} = this,
            may = this.model.mayChange;
        const part = (id, heading, place, ...more) => section(id, heading, place, more);
        return [
            places.head,
            h(
                'div',
                {class: 'job-grid'},
                h(
                    'div',
                    {class: 'job-left'},
                    h(
                        'section',
                        {class: 'sheet picture-sheet', 'aria-label': 'Picture'},
                        places.picture,
                        places.chosen,
                    ),
                    part('clock', 'Clock', places.clock),
                ),
                h(
                    'div',
                    {class: 'job-right'},
                    part('findings', 'Findings', places.findings),
                    part('panels', 'Panels', places.panels),
                ),
            ),
            h(
                'div',
                {class: 'columns'},
                part('alternatives', 'Alternatives', places.alternatives),
                part('proof', 'Proof', places.proof),
                part('files', 'Files', places.files),
                may && part('setup', 'Surfaces and artwork', places.setup),
                may && part('features', 'Features', places.features),
                may && part('shapes', 'Covered parts and pieces', places.cover, places.pieces),
                part('fleet', 'Fleet', places.fleet),
                part('rolls', 'Rolls', places.rolls),
                part('laid', "On the shop's rolls", places.laid),
                part('cost', 'Price', places.cost),
                part('quote', 'Quote', places.quote),
                part('used', 'Planned and used', places.used),
                part(
                    'record',
                    'Record',
                    places.record,
                    may && entryForm(this.shared, this.model.job, () => this.refresh()),
                ),
            ),
            may && part('form', 'What the job file says', places.form),
        ];
    }

    /** Several changes in one frame are drawn once. */
    #drawSoon() {
        this.frame ??= requestAnimationFrame(() => {
            this.frame = undefined;
            this.shared.press.after(this.draw);
        });
    }

    draw = () => {
        const {model, places, shared} = this,
            {units} = shared;
        this.head.draw();
        drawPicture(places.picture, model, units);
        drawChosen(places.chosen, model, units, {
            keep: () => this.#keep(),
            free: surface => this.#free(surface),
            turn: (index, over) => this.#turn(index, over),
            again: (panel, id) => this.#again(panel, id),
        });
        drawClock(places.clock, model, shared.clock.now());
        drawFindings(places.findings, model, finding => this.#accept(finding));
        drawPanels(places.panels, model, units);
        drawAlternatives(places.alternatives, model, units, name =>
            this.save([['choice', name]], `${name} is chosen`),
        );
        drawFiles(places.files, model);
        drawRolls(places.rolls, model, units);
        this.laid.draw(model);
        drawCost(places.cost, model);
        this.setup.draw();
        this.features.draw();
        this.cover.draw();
        this.pieces.draw();
        this.fleet.draw();
    };

    async refresh() {
        // The record is quick; the job may have to be planned afresh first.
        const record = document.querySelector('dialog[open]')
            ? null
            : drawRecord(this.places.record, this.shared, this.model.job);
        await Promise.all([record, this.model.load().then(() => this.quote?.load()), this.#drawUsed()]);
        await this.#drawProof();
        this.#takeWork();
        if (!this.form.typed) this.form.draw(this.model.written);
    }

    /** What the server says is running, and in which units the job is read. */
    #takeWork() {
        this.shared.units.ask(Boolean(this.model.data.inches));
        const what = ['making', 'planning', 'quoting'].find(name => this.model.data[name]);
        this.work = what ? {...this.model.data[what], what} : null;
    }

    /** @param {any} work a `work` event */
    async follow(work) {
        this.work = work.done || work.error ? null : work;
        if (work.error) this.shared.notices.say(work.error, 'stop', this.#anyway());
        if (work.done && !work.error) {
            this.shared.notices.settle();
            this.asked = null;
        }
        if (work.done) await this.refresh();
        this.#drawSoon();
    }

    /**
     * Writes into job.yaml, and plans afresh.
     * @param {[string, string][]} changes
     * @param {string} words what was done
     */
    async save(changes, words) {
        try {
            await this.model.edit(changes);
        } catch (trouble) {
            this.#explain(trouble, () => this.save(changes, words));
            return false;
        }
        await this.#kept(words);
        return true;
    }

    /** After the job's files were changed. @param {string} words @param {boolean} [back] it can be put back */
    async #kept(words, back = true) {
        this.shared.notices.say(words, 'done', back ? {words: 'Undo', act: () => this.undo()} : undefined);
        this.form.draw(this.model.written);
        await this.act('plan');
    }

    async undo() {
        try {
            await this.model.undo();
        } catch (trouble) {
            return this.#explain(trouble);
        }
        this.shared.notices.say('The last change to job.yaml is undone.');
        this.form.draw(this.model.written);
        await this.act('plan');
    }

    /** @param {'plan' | 'make' | 'reprint' | 'quote' | 'proof' | 'stop'} what @param {Record<string, string>} [fields] */
    async act(what, fields) {
        try {
            await post(jobAddress(this.model.job, what), fields);
            this.shared.notices.settle();
            if (what !== 'stop')
                this.work ??= {what: WORK[what], words: '', fraction: 0};
        } catch (trouble) {
            this.#explain(trouble);
        }
        this.#drawSoon();
    }

    /** @param {string} panel SURFACE/PANEL @param {string} id */
    #again(panel, id) {
        askAgain({job: this.model.job, panel, id, person: this.shared.shop.who}, fields => {
            this.asked = fields;
            this.work ??= {what: 'making', words: '', fraction: 0};
            this.#drawSoon();
        });
    }

    /** After a panel was asked for again: whoever reads why it was not made may have it made as it would be now. */
    #anyway() {
        const fields = this.asked;
        this.asked = null;
        return fields && {words: 'Make it anyway', act: () => this.act('reprint', {...fields, anyway: 'yes'})};
    }

    async #drawProof() {
        const shown = await loadProof(this.model).catch(() => null);
        if (shown) drawProof(this, shown);
    }

    async #drawUsed() {
        const answer = await get(jobAddress(this.model.job, 'used')).catch(() => null);
        drawUsed(this.places.used, answer, this.shared.units);
    }

    async #keep() {
        const {trial, written, moved} = this.model;
        if (moved) return this.#keepPlace(moved);
        if (!trial) return;
        if (
            await this.save(
                [seamsChange(written, trial.surface, trial.seams)],
                `Seams of ${trial.surface} are kept`,
            )
        )
            this.model.putBack();
    }

    /** @param {{surface: string, path: string, at: number[]}} moved */
    async #keepPlace({surface, path, at}) {
        const value = at.length > 1 ? `[${at.join(', ')}]` : String(at[0]);
        if (await this.save([[path, value]], `${surface} is kept where it was moved`)) this.model.putBack();
    }

    /**
     * Lets the other panel lie over at one seam.
     * @param {number} index
     * @param {'left' | 'right' | 'upper' | 'lower'} over
     */
    #turn(index, over) {
        const surface = this.model.surface(String(this.model.chosen?.surface));
        return this.save(
            [seamsChange(this.model.written, surface.name, this.model.places(surface), {index, over})],
            `The ${over} panel lies over`,
        );
    }

    /** @param {string} name of the surface */
    #free(name) {
        return this.save([[`surfaces.${name}.seams`, '']], `The planner places the seams of ${name} again`);
    }

    /** @param {any} finding */
    #accept(finding) {
        const asked = {
            heading: `Accept ${finding.code}`,
            words: `${finding.where || 'job'}: ${finding.text}`,
            button: 'Accept the finding',
            person: this.shared.shop.who,
        };
        askReason(asked, async fields => {
            const {kept} = await this.shared.outbox.record(
                this.model.job,
                {kind: 'accepted', code: finding.code, place: finding.place, ...fields},
                `${finding.code} accepted`,
            );
            this.shared.notices.settle();
            if (kept) this.shared.notices.say(`${kept} This is kept on this device and sent later.`, 'warn');
            else await this.refresh();
        });
    }

    /** @param {any} trouble @param {() => void} [again] */
    #explain(trouble, again) {
        const conflict = trouble instanceof Refusal && trouble.status === 409 && again;
        const mistakes = (trouble.body?.mistakes ?? []).map(one => `${one.where} ${one.text}`);
        if (trouble instanceof Away) return this.shared.notices.trouble(trouble, again && {words: 'Try again', act: again});
        this.shared.notices.say(
            [trouble.message, ...mistakes].join(' '),
            conflict ? 'warn' : 'stop',
            conflict ? {words: 'Write mine anyway', act: again} : undefined,
        );
    }
}

/**
 * Seams fixed by hand, for job.yaml; which panel lies over stays as it was said.
 * @param {any} tree @param {string} surface @param {number[]} places @param {{index: number, over: string}} [turned]
 */
function seamsChange(tree, surface, places, turned) {
    const written = tree.surfaces?.find?.(one => one.name === surface)?.seams;
    const one = (at, index) => {
        const over = turned?.index === index ? turned.over : written?.[index]?.over;
        return over ? `{at: ${at}, over: ${over}}` : String(at);
    };
    return surfaceChange(tree, surface, 'seams', `[${places.map(one).join(', ')}]`);
}

/** @type {import('./router.js').ShowView} */
export async function show(main, shared, name) {
    const view = new JobView(main, shared, name);
    await view.open();
    const work = event => event.detail.job === view.model.job && view.follow(event.detail);
    shared.live.addEventListener('work', work);
    const timer = setInterval(() => drawClock(view.places.clock, view.model, shared.clock.now()), 60000);
    return {
        title: `${view.model.job} ${view.model.data.title ?? ''}`,
        refresh: change =>
            change.job === null || change.job === view.model.job ? view.refresh() : undefined,
        draw: () => view.draw(),
        leave() {
            clearInterval(timer);
            view.resize.disconnect();
            shared.live.removeEventListener('work', work);
        },
    };
}
