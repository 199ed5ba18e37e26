// Entries on their way to the record. Each is kept in this browser, with its key, from before it is sent until the
// server has said that it is on record. Sent twice, the server records it once.

import {Away, Refusal, get, jobAddress, newKey, post} from './api.js';
import {Kept} from './kept.js';

/**
 * @typedef {object} Entry
 * @property {string} job
 * @property {Record<string, string>} fields of the facts form, the same whenever it is sent: key, who and at too
 * @property {string} words what it is, for people
 * @property {number} made for the order
 * @property {number} [tried] when it was last sent, browser's clock: the server may have heard
 * @property {boolean} [waits] it could not be sent yet
 * @property {string} [why] what keeps it here
 * @property {string} [refused] the server's sentence, when it would not have it
 * @property {string} [undone] when it was undone: it is looked for on the record, and withdrawn there
 */
/** @typedef {{entry: Entry, facts?: number[], kept?: string}} Receipt numbers on record, or why it is kept here */

/** Whoever waits longer for the server is told that the entry is kept here. */
const PATIENCE_MS = 2000;
/** After this long nothing that was sent is still on its way. */
const LOST_MS = 30000;
/** What waits is tried again so often. */
const AGAIN_MS = 4000;

/** `changed` is said whenever what waits has changed, `away` with what keeps an entry here. */
export class Outbox extends EventTarget {
    #kept = new Kept('lapstrake-entry-', () => this.dispatchEvent(new Event('changed')));
    /** Keys of what is being sent from this tab. @type {Set<string>} */
    #flying = new Set();
    #sending = false;
    #again = 0;

    /** @param {() => string} time of the shop, for entries that say none */
    constructor(time) {
        super();
        this.time = time;
    }

    /** Those that wait here, oldest first. @returns {Entry[]} */
    get entries() {
        return this.#kept.all().filter(entry => (entry.waits || entry.refused) && !entry.undone);
    }

    /** Whether this step of a panel waits here to be sent. @param {string} job @param {string} kind @param {string[]} panels */
    waitsFor(job, kind, panels) {
        return this.entries.some(
            entry =>
                !entry.refused &&
                entry.job === job &&
                entry.fields.kind === kind &&
                (entry.fields.panels ?? '').split(',').some(panel => panels.includes(panel)),
        );
    }

    /**
     * Records a fact, or keeps it while the server cannot be asked.
     * @param {string} job @param {Record<string, string>} fields @param {string} words
     * @returns {Promise<Receipt>} throws Refusal: the server said no
     */
    async record(job, fields, words) {
        const entry = {
            job,
            words,
            made: Date.now(),
            fields: {...fields, key: fields.key ?? newKey(), at: fields.at ?? this.time()},
        };
        this.#kept.put(entry);
        if (!navigator.onLine) return this.#keep(entry, new Away('offline'));
        const sent = this.#send(entry);
        let timer = 0;
        const slow = new Promise(tell => (timer = setTimeout(tell, PATIENCE_MS))).then(() =>
            this.#keep(entry, new Away('silent')),
        );
        return Promise.race([sent, slow]).finally(() => clearTimeout(timer));
    }

    /** @param {Entry} entry @returns {Promise<Receipt>} */
    async #send(entry) {
        const {key} = entry.fields;
        this.#flying.add(key);
        this.#kept.change(key, {tried: Date.now()});
        try {
            const {facts} = await post(jobAddress(entry.job, 'facts'), entry.fields);
            const undone = this.#kept.find(key)?.undone;
            this.#kept.drop(key);
            if (undone) await this.#withdraw(entry, facts, undone);
            return {entry, facts};
        } catch (trouble) {
            if (trouble instanceof Away) return this.#keep(entry, trouble);
            this.#refuse(key, trouble);
            throw trouble;
        } finally {
            this.#flying.delete(key);
            this.#kept.change(key, {tried: Date.now()});
        }
    }

    #sendSoon() {
        clearTimeout(this.#again);
        this.#again = setTimeout(() => (document.hidden ? this.#sendSoon() : this.sendAll()), AGAIN_MS);
    }

    /** @param {Entry} entry @param {Away} trouble @returns {Receipt} */
    #keep(entry, trouble) {
        const why = trouble.message;
        this.#kept.change(entry.fields.key, {waits: true, why});
        this.dispatchEvent(new CustomEvent('away', {detail: trouble}));
        this.#sendSoon();
        return {entry, kept: why};
    }

    /** Who was told that it is kept finds the refusal beside it; else the form says it. @param {string} key @param {any} trouble */
    #refuse(key, trouble) {
        const entry = this.#kept.find(key);
        if (entry?.waits && !entry.undone) this.#kept.change(key, {refused: trouble.message, waits: false});
        else this.#kept.drop(key);
    }

    /** Sends what waits, in the order in which it was made; stops at the first that cannot be sent. */
    async sendAll() {
        if (this.#sending) return;
        this.#sending = true;
        try {
            for (const entry of this.#kept.all())
                if (!entry.refused && !this.#flying.has(entry.fields.key) && !(await this.#sendAgain(entry))) break;
        } finally {
            this.#sending = false;
            if (this.#kept.all().some(entry => !entry.refused)) this.#sendSoon();
        }
    }

    /** @param {Entry} entry @returns {Promise<boolean>} whether the server answered */
    async #sendAgain(entry) {
        if (entry.undone) return this.#settle(entry).catch(() => false);
        this.#kept.change(entry.fields.key, {waits: true});
        return this.#send(entry).then(
            ({kept}) => !kept,
            trouble => trouble instanceof Refusal,
        );
    }

    /**
     * Takes an entry back: out of what waits here, or off the record by a withdrawal.
     * @param {Receipt} receipt
     * @returns {Promise<void>} throws Refusal
     */
    async undo({entry, facts}) {
        const {key} = entry.fields,
            waits = this.#kept.find(key);
        if (facts) return this.#withdraw(entry, facts, this.time());
        if (waits && !waits.tried) return this.#kept.drop(key);
        this.#kept.put({...entry, ...waits, undone: this.time()});
        if (!this.#flying.has(key)) await this.#settle(this.#kept.find(key)).catch(() => {});
    }

    /** Whether the server had an undone entry is found by its key. @param {Entry} entry */
    async #settle(entry) {
        const {key} = entry.fields,
            {facts} = await get(jobAddress(entry.job, 'facts'));
        const found = facts.filter(fact => fact.key === key || fact.key?.replace(/-\d+$/, '') === key);
        await this.#withdraw(
            entry,
            found.filter(fact => !fact.withdrawn).map(fact => fact.number),
            String(entry.undone),
        );
        if (found.length || Date.now() - (entry.tried ?? 0) > LOST_MS) this.#kept.drop(key);
        else this.#sendSoon();
        return true;
    }

    /** Each withdrawal has one key, whoever sends it. @param {Entry} entry @param {number[]} numbers @param {string} at */
    async #withdraw({job, words, fields: {who}}, numbers, at) {
        for (const number of numbers)
            await this.record(
                job,
                {
                    kind: 'withdrawn',
                    withdraws: String(number),
                    words: 'Undone',
                    key: `undo-${number}-${at.replace(/\D/g, '')}`,
                    at,
                    ...(who ? {who} : {}),
                },
                `undo of ${words}`,
            );
    }

    /**
     * Sends a refused one again, as a new entry with the reason why one went on.
     * @param {Entry} entry @param {string} reason
     */
    async sendWithReason(entry, reason) {
        this.#kept.drop(entry.fields.key);
        this.#kept.put({
            ...entry,
            fields: {...entry.fields, key: newKey(), override: reason},
            refused: undefined,
            waits: true,
        });
        await this.sendAll();
    }

    /** Forgets a refused one. @param {Entry} entry */
    drop(entry) {
        this.#kept.drop(entry.fields.key);
    }
}
