// What the job view knows: the last answer of the server, seams that are being tried, and what was touched.

import {Away, Refusal, get, jobAddress, post} from './api.js';

/**
 * @typedef {{kind: 'panel' | 'seam' | 'finding' | 'shape', surface: string, id: string | number}} Chosen
 * @typedef {{surface: string, seams: number[], answer: any}} Trial `answer` null: the planner has not answered yet
 */

/** Seam positions of a planned surface, each once, rising. @param {any} surface @returns {number[]} */
export const seamPlaces = surface =>
    [...new Set(surface.seams.map(seam => seam.at_mm))].sort((a, b) => a - b);

/** What the last plan said, while the next one is being made. @param {any} fresh @param {any} old */
function keepPlan(fresh, old) {
    if (fresh.plan || !fresh.planning || !old?.plan) return fresh;
    const {plan, surfaces, steps, hours, expected} = old;
    return {...fresh, plan, surfaces, steps, hours, expected};
}

/** `changed` is said whenever something else is to be seen. */
export class JobModel extends EventTarget {
    /** @type {any} */
    data = null;
    /** job.yaml as written, as a tree of words @type {any} */
    written = {};
    /** of job.yaml as written: changes are made to that, or refused */
    fingerprint = '';
    /** @type {Chosen | null} */
    chosen = null;
    /** @type {Trial | null} */
    trial = null;
    /** An alternative that is looked at @type {{index: number, answer: any} | null} */
    look = null;
    /** A piece or the edge of a covered region, moved and not kept @type {{surface: string, path: string, at: number[]} | null} */
    moved = null;
    /** A feature being drawn @type {{surface: string, form: 'box' | 'line' | 'points', numbers: number[]} | null} */
    draft = null;
    #asking = false;

    /** @param {string} job @param {boolean} mayChange false: this person may only look */
    constructor(job, mayChange) {
        super();
        this.job = job;
        this.mayChange = mayChange;
    }

    /** Reads the job again; seams that are being tried stay. */
    async load() {
        const [data, written] = await Promise.all([
            get(jobAddress(this.job)),
            get(jobAddress(this.job, 'written')).catch(trouble =>
                trouble instanceof Away ? Promise.reject(trouble) : {tree: {}},
            ),
        ]);
        this.data = keepPlan(data, this.data);
        this.written = written.tree ?? {};
        this.fingerprint = written.fingerprint;
        this.#forgetWhatIsGone();
        this.#say();
    }

    get plan() {
        return this.data?.plan ?? null;
    }

    /**
     * The planned surfaces as they are to be seen: as written, tried, or of the alternative looked at.
     * @returns {any[]}
     */
    get surfaces() {
        const plan = this.plan;
        const planned = this.look?.answer.surfaces ?? [...(plan?.surfaces ?? []), ...(plan?.pieces ?? [])];
        const tried = this.impossible ? null : this.trial?.answer?.surface;
        return tried ? planned.map(surface => (surface.name === tried.name ? tried : surface)) : planned;
    }

    /**
     * Whether the seams that are tried cannot be: the planner then gives no panels, and the picture keeps the
     * old ones.
     */
    get impossible() {
        return Boolean(this.trial?.answer?.surface && !this.trial.answer.surface.panels.length);
    }

    /** @returns {any[]} */
    get findings() {
        return this.trial?.answer?.findings ?? this.look?.answer.findings ?? this.plan?.findings ?? [];
    }

    /** The answer whose price counts now, null: the plan as written. */
    get tried() {
        return this.trial?.answer ?? this.look?.answer ?? null;
    }

    /** @param {string} name */
    surface(name) {
        return this.surfaces.find(surface => surface.name === name);
    }

    /** Names of the surfaces, of those that are written where the job cannot be read. @returns {string[]} */
    get surfaceNames() {
        const written = Array.isArray(this.written.surfaces) ? this.written.surfaces : [];
        return (this.data.surfaces ? this.hosts : written).map(surface => surface.name);
    }

    /** The job's surfaces, without its pieces. @returns {any[]} */
    get hosts() {
        return (this.data.surfaces ?? []).filter(surface => !surface.host);
    }

    /** @param {string} name */
    pieceNamed(name) {
        return this.data.surfaces?.find(surface => surface.name === name && surface.host);
    }

    /** The pieces on one. @param {string} name @returns {any[]} */
    piecesOn(name) {
        return (this.data.surfaces ?? []).filter(surface => surface.host === name);
    }

    /**
     * Where the seams of a surface stand now, those of a drag before the planner answered too.
     * @param {any} surface
     */
    places(surface) {
        return this.trial?.surface === surface.name ? this.trial.seams : seamPlaces(surface);
    }

    /** @param {Chosen | null} chosen */
    choose(chosen) {
        this.chosen = chosen;
        this.#say();
    }

    /** The numbers of the feature being drawn. @param {number[]} numbers */
    sketch(numbers) {
        this.draft = {...this.draft, numbers};
        this.#say();
    }

    /**
     * Moves one seam; the planner is asked at once, and again when it has answered.
     * @param {string} name
     * @param {number} index
     * @param {number} at_mm
     */
    move(name, index, at_mm) {
        if (!this.mayChange) return;
        const surface = this.surface(name);
        const seams = [...(this.trial?.surface === name ? this.trial.seams : seamPlaces(surface))];
        const least = (seams[index - 1] ?? 0) + 1,
            extent = surface.seams[0]?.axis === 'y' ? surface.height_mm : surface.width_mm;
        seams[index] =
            Math.round(Math.min(Math.max(at_mm, least), (seams[index + 1] ?? extent) - 1) * 10) / 10;
        const answer = this.trial?.surface === name ? this.trial.answer : null;
        this.look = this.moved = null;
        this.trial = {surface: name, seams, answer};
        this.chosen = {kind: 'seam', surface: name, id: index};
        this.#say();
        this.#ask();
    }

    /** Moves a piece, or the edge of what is covered; nothing is written. @param {string} surface @param {string} path @param {number[]} at */
    moveShape(surface, path, at) {
        this.trial = this.look = null;
        this.moved = {surface, path, at};
        this.chosen = {kind: 'shape', surface, id: surface};
        this.#say();
    }

    /** Forgets what was tried. */
    putBack() {
        this.trial = this.moved = null;
        this.look = null;
        this.#say();
    }

    /** Shows another alternative of the planner; nothing is written. @param {number} index */
    async lookAt(index) {
        this.trial = null;
        this.look =
            index === this.plan.chosen
                ? null
                : {index, answer: await post(jobAddress(this.job, 'try'), {choose: index})};
        this.#say();
    }

    /**
     * Asks the planner about the trial; while it thinks, later positions wait, and only the last is asked.
     */
    async #ask() {
        if (this.#asking || !this.trial) return;
        this.#asking = true;
        const {surface, seams} = this.trial;
        try {
            const answer = await post(jobAddress(this.job, 'try'), {surface, seams: seams.join(',')});
            if (this.trial?.surface === surface) this.trial = {...this.trial, answer};
        } catch (trouble) {
            if (trouble instanceof Refusal) this.trial = null;
            this.dispatchEvent(new CustomEvent('trouble', {detail: trouble}));
        } finally {
            this.#asking = false;
        }
        this.#say();
        if (this.trial?.surface === surface && this.trial.seams.join() !== seams.join()) this.#ask();
    }

    /**
     * Changes job.yaml. Throws Refusal; when someone else changed the file meanwhile (409) the job is read
     * again first, so that the same can be tried once more on what is there now.
     * @param {[string, string][]} changes path and value; an empty value takes it out
     */
    async edit(changes) {
        const pairs = changes.flatMap(([path, value]) => /** @type {[string, string][]} */ ([
            ['path', path],
            ['value', value],
        ]));
        try {
            await post(jobAddress(this.job, 'edit'), [['fingerprint', this.fingerprint], ...pairs]);
        } catch (trouble) {
            if (trouble instanceof Refusal && trouble.status === 409) await this.load();
            throw trouble;
        }
        await this.load();
    }

    async undo() {
        await post(jobAddress(this.job, 'undo'), {fingerprint: this.fingerprint});
        this.trial = this.look = this.moved = null;
        await this.load();
    }

    #forgetWhatIsGone() {
        if (
            this.trial &&
            this.plan?.surfaces.every(
                surface => surface.name !== this.trial?.surface || !surface.seams.length,
            )
        )
            this.trial = null;
        if (this.moved && !this.data.surfaces?.some(surface => surface.name === this.moved?.surface)) this.moved = null;
        if (this.look && !this.plan?.alternatives?.[this.look.index]) this.look = null;
    }

    #say() {
        this.dispatchEvent(new Event('changed'));
    }
}

/**
 * The change that sets a key of a surface, wherever job.yaml keeps that surface: it may stand in the
 * vehicle's file only, and then gets its entry here.
 * @param {any} tree job.yaml as written @param {string} name @param {string} key @param {string} value YAML of one line
 * @returns {[string, string]}
 */
export function surfaceChange(tree, name, key, value) {
    const list = Array.isArray(tree.surfaces) ? tree.surfaces : null;
    if (list?.some(surface => surface.name === name)) return [`surfaces.${name}.${key}`, value];
    const entry = `{name: ${JSON.stringify(name)}, ${key}: ${value}}`;
    return list ? ['surfaces.+', entry] : ['surfaces', `[${entry}]`];
}
