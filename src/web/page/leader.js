// Tabs of one browser agree on one of them, the leader, by messages: browsers give a server six connections, and a
// stream of events in each tab would use them up. No locks, which would need https.

import {newKey} from './api.js';

const CHANNEL = 'lapstrake';
/** A leader is heard this often, and given up after this long. */
const BEAT_MS = 1000,
    SILENT_MS = 3500;
/** An answer from a leader comes within this. */
const ANSWER_MS = 120;

/**
 * Who is seen takes part. `lead` is said with true when this tab becomes the leader, with false when it no longer is;
 * `news` is said with what the leader tells.
 */
export class Leader extends EventTarget {
    leads = false;
    #id = newKey();
    #heard = 0;
    #claim = 0;
    #beat = 0;
    /** @type {BroadcastChannel | null} */
    #channel = globalThis.BroadcastChannel ? new BroadcastChannel(CHANNEL) : null;

    start() {
        this.#channel?.addEventListener('message', event => this.#take(event.data));
        document.addEventListener('visibilitychange', () => (document.hidden ? this.#rest() : this.#join()));
        window.addEventListener('pagehide', () => this.#rest());
        window.addEventListener('pageshow', event => event.persisted && !document.hidden && this.#join());
        if (!document.hidden) this.#join();
    }

    /** Tells the other tabs. @param {unknown} news */
    tell(news) {
        this.#channel?.postMessage({kind: 'news', news});
    }

    #join() {
        if (!this.#channel) return this.#lead();
        this.#channel.postMessage({kind: 'ask'});
        this.#claimSoon(ANSWER_MS);
        clearInterval(this.#beat);
        this.#beat = setInterval(() => this.#keepWatch(), BEAT_MS);
    }

    #rest() {
        clearInterval(this.#beat);
        this.#drop();
        if (!this.leads) return;
        this.#yield();
        this.#channel?.postMessage({kind: 'gone'});
    }

    #keepWatch() {
        if (this.leads) this.#say();
        else if (Date.now() - this.#heard > SILENT_MS) this.#claimSoon(0);
    }

    /** Not all at once: who claims first is heard by the others. @param {number} after_ms */
    #claimSoon(after_ms) {
        if (this.#claim || this.leads) return;
        this.#claim = setTimeout(() => this.#lead(), after_ms + Math.random() * ANSWER_MS);
    }

    #drop() {
        clearTimeout(this.#claim);
        this.#claim = 0;
    }

    #say() {
        this.#channel?.postMessage({kind: 'lead', id: this.#id});
    }

    #lead() {
        this.#drop();
        if (this.leads) return;
        this.leads = true;
        this.#say();
        this.dispatchEvent(new CustomEvent('lead', {detail: true}));
    }

    #yield() {
        this.leads = false;
        this.dispatchEvent(new CustomEvent('lead', {detail: false}));
    }

    /** Of two leaders the one with the smaller name stays. @param {any} message */
    #take(message) {
        if (message.kind === 'news') this.dispatchEvent(new CustomEvent('news', {detail: message.news}));
        if (message.kind === 'ask' && this.leads) this.#say();
        if (message.kind === 'gone' && !document.hidden) this.#claimSoon(0);
        if (message.kind !== 'lead') return;
        if (this.leads && this.#id < message.id) return this.#say();
        this.#heard = Date.now();
        this.#drop();
        if (this.leads) this.#yield();
    }
}
