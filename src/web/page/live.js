// What the server tells by itself: that something changed, how far long work has come, and whether it is there.

/**
 * Events: `change` {revision, job}, `work` {job, what, words, fraction, done, error}, `network` boolean.
 * After the network was away, a `change` without a job is said, so that every view reads itself again.
 */
export class Live extends EventTarget {
    here = true;
    /** @type {EventSource | null} */
    #source = null;

    start() {
        this.#open();
        window.addEventListener('offline', () => this.#set(false));
        window.addEventListener('online', () => this.#again());
    }

    /** A request found the network away or back before the stream noticed. @param {boolean} here */
    notice(here) {
        this.#set(here);
    }

    /** @param {string} kind @param {unknown} detail */
    #say(kind, detail) {
        this.dispatchEvent(new CustomEvent(kind, {detail}));
    }

    /** @param {boolean} here */
    #set(here) {
        if (here === this.here) return;
        this.here = here;
        this.#say('network', here);
        if (here) this.#say('change', {revision: 0, job: null});
    }

    #lost() {
        this.#set(false);
        if (this.#source?.readyState === EventSource.CLOSED) setTimeout(() => this.#again(), 3000);
    }

    #again() {
        if (this.#source?.readyState === EventSource.OPEN) this.#set(true);
        else this.#open();
    }

    #open() {
        this.#source?.close();
        this.#source = new EventSource('/api/live');
        this.#source.addEventListener('open', () => this.#set(true));
        this.#source.addEventListener('error', () => this.#lost());
        for (const kind of ['change', 'work'])
            this.#source.addEventListener(kind, event =>
                this.#say(kind, JSON.parse(/** @type {MessageEvent} */ (event).data)),
            );
    }
}
