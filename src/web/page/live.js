// What the server tells by itself: that something changed, how far long work has come, and whether it is there.

import {Away, get, known} from './api.js';
import {Leader} from './leader.js';

const EVENTS = ['change', 'work', 'hello', 'again'];
/** How often the server is asked whether it is back. */
const ASK_MS = 2000;

/**
 * Events: `change` {revision, job}, `work` {job, what, words, fraction, done, error}, `network` boolean.
 * After the network was away, and when the tab is seen again, a `change` without a job is said, so that every view
 * reads itself again. One tab of the browser, the leader, listens to the server and tells the others.
 */
export class Live extends EventTarget {
    here = true;
    /** What keeps the server away. @type {Away | null} */
    trouble = null;
    #leader = new Leader();
    /** @type {EventSource | null} */
    #source = null;
    #asks = 0;

    start() {
        this.#leader.addEventListener('lead', () => (this.#leader.leads ? this.#open() : this.#close()));
        this.#leader.addEventListener('news', event => this.#news(/** @type {CustomEvent} */ (event).detail));
        this.#leader.start();
        window.addEventListener('offline', () => this.notice(new Away('offline')));
        window.addEventListener('online', () => this.#ask());
        document.addEventListener('visibilitychange', () => document.hidden || this.#changed());
    }

    /** A request found the server away, or back. @param {unknown} [trouble] nothing: it is back */
    notice(trouble) {
        if (trouble instanceof Away && trouble.all) this.#away(trouble);
        else if (!trouble && !this.here) this.#back();
    }

    /** @param {string} kind @param {unknown} detail */
    #say(kind, detail) {
        this.dispatchEvent(new CustomEvent(kind, {detail}));
    }

    #changed() {
        this.#say('change', {revision: 0, job: null});
    }

    /** @param {Away} trouble */
    #away(trouble) {
        const told = this.trouble?.message === trouble.message;
        this.here = false;
        this.trouble = trouble;
        clearTimeout(this.#asks);
        this.#asks = setTimeout(() => this.#ask(), ASK_MS);
        if (!told) this.#say('network', false);
    }

    #back() {
        clearTimeout(this.#asks);
        this.here = true;
        this.trouble = null;
        this.#say('network', true);
        if (this.#leader.leads && this.#source?.readyState !== EventSource.OPEN) this.#open();
        this.#changed();
    }

    /** Asks the server for something small, as whoever is signed in. */
    async #ask() {
        if (document.hidden) this.#asks = setTimeout(() => this.#ask(), ASK_MS);
        else await get('/api/keys').then(() => this.notice(), trouble => this.notice(trouble));
    }

    /** What the leader hears, here or in another tab. @param {{kind: string, data: any}} news */
    #news({kind, data}) {
        if (document.hidden) return; /* it reads itself again when it is seen */
        if (kind === 'hello' && data.revision !== known.revision) this.#changed();
        else if (kind === 'again') this.#changed();
        else if (kind === 'lost') this.#ask();
        else if (kind !== 'hello') this.#say(kind, data);
    }

    /** @param {string} kind @param {any} data */
    #tell(kind, data) {
        const news = {kind, data};
        this.#leader.tell(news);
        this.#news(news);
    }

    /** The browser takes the stream up again by itself, unless the server refused it. */
    #lost() {
        if (this.#source?.readyState === EventSource.CLOSED)
            setTimeout(() => this.#leader.leads && this.#open(), ASK_MS);
        this.#tell('lost', null);
    }

    #close() {
        this.#source?.close();
        this.#source = null;
    }

    #open() {
        this.#close();
        this.#source = new EventSource('/api/live');
        this.#source.addEventListener('error', () => this.#lost());
        for (const kind of EVENTS)
            this.#source.addEventListener(kind, event =>
                this.#tell(kind, JSON.parse(/** @type {MessageEvent} */ (event).data)),
            );
    }
}
