// Facts that could not be sent are kept in this browser, each with its key, and sent again in the order
// in which they were made. Sent twice, the server records them once.

import {Away, Refusal, newKey, post, jobAddress} from './api.js';

const STORE = 'lapstrake-unsent';

/**
 * @typedef {object} Entry
 * @property {string} job
 * @property {Record<string, string>} fields of the facts form, with its key
 * @property {string} words what it is, for people
 * @property {string} [refused] the server's sentence, when it would not have it
 */

/**
 * This minute as the shop's clock shows it, `2027-03-04T10:40`.
 * @param {number} now UTC seconds
 * @param {string} [zone]
 */
export function localMinute(now, zone) {
    const parts = new Intl.DateTimeFormat('en-GB', {
        timeZone: zone,
        dateStyle: 'short',
        timeStyle: 'short',
    }).formatToParts(new Date(now * 1000));
    const part = Object.fromEntries(parts.map(({type, value}) => [type, value]));
    return `${part.year}-${part.month}-${part.day}T${part.hour}:${part.minute}`;
}

/** `changed` is said whenever what waits has changed. */
export class Outbox extends EventTarget {
    /** @type {Entry[]} */
    entries = [];
    #sending = false;
    /** @param {() => string} minute the shop's clock, for facts that are sent later */
    constructor(minute) {
        super();
        this.minute = minute;
        this.#read();
        window.addEventListener('storage', event => event.key === STORE && this.#read());
    }

    /**
     * Records a fact, or keeps it when the network is away.
     * @param {string} job @param {Record<string, string>} fields @param {string} words
     * @returns {Promise<{facts?: number[], kept?: boolean}>} throws Refusal: the server said no
     */
    async record(job, fields, words) {
        const entry = {job, words, fields: {key: newKey(), ...fields}};
        try {
            return await post(jobAddress(job, 'facts'), entry.fields);
        } catch (trouble) {
            if (!(trouble instanceof Away)) throw trouble;
            entry.fields.at ??= this.minute();
            this.#write([...this.entries, entry]);
            return {kept: true};
        }
    }

    /** Sends what waits; stops at the first that cannot be sent. A refused one stays, with the reason. */
    async sendAll() {
        if (this.#sending) return;
        this.#sending = true;
        try {
            for (const entry of this.entries.filter(one => !one.refused)) await this.#sendOne(entry);
        } catch (trouble) {
            if (!(trouble instanceof Away)) throw trouble;
        } finally {
            this.#sending = false;
        }
    }

    /** @param {Entry} entry */
    async #sendOne(entry) {
        try {
            await post(jobAddress(entry.job, 'facts'), entry.fields);
            this.drop(entry);
        } catch (trouble) {
            if (!(trouble instanceof Refusal)) throw trouble;
            this.#change(entry, {refused: trouble.message});
        }
    }

    /**
     * Sends a refused one again, with a reason why one went on.
     * @param {Entry} entry
     * @param {string} reason
     */
    async sendWithReason(entry, reason) {
        this.#change(entry, {refused: undefined, fields: {...entry.fields, override: reason}});
        await this.sendAll();
    }

    /** @param {Entry} entry */
    drop(entry) {
        this.#write(this.entries.filter(one => one.fields.key !== entry.fields.key));
    }

    /** @param {Entry} entry @param {Partial<Entry>} what */
    #change(entry, what) {
        this.#write(this.entries.map(one => (one.fields.key === entry.fields.key ? {...one, ...what} : one)));
    }

    /** @param {Entry[]} entries */
    #write(entries) {
        this.entries = entries;
        localStorage.setItem(STORE, JSON.stringify(entries));
        this.dispatchEvent(new Event('changed'));
    }

    #read() {
        try {
            this.entries = JSON.parse(localStorage.getItem(STORE) ?? '[]');
        } catch {
            this.entries = [];
        }
        this.dispatchEvent(new Event('changed'));
    }
}
