// Sends a large file in slices. When the network is away it waits and goes on where the server was.

import {Away, Refusal, get, jobAddress, newKey, post, send} from './api.js';

const SLICE = 8 * 1024 * 1024;
/** The server's limit; refused here too, so that nobody waits for a refusal. */
export const BYTES_MOST = 2 * 1024 ** 3;
const WAIT_MS = 2000;

/** @param {number} ms @param {AbortSignal} signal */
const pause = (ms, signal) =>
    new Promise((go, stop) => {
        const timer = setTimeout(go, ms);
        signal.addEventListener('abort', () => (clearTimeout(timer), stop(signal.reason)), {once: true});
    });

/**
 * One file on its way into a job's folder. `progress` events carry {received, bytes, away}.
 */
export class Upload extends EventTarget {
    #stop = new AbortController();
    #key = newKey();
    #received = 0;

    /** @param {string} job @param {File} file */
    constructor(job, file) {
        super();
        this.job = job;
        this.file = file;
    }

    stop() {
        this.#stop.abort(new DOMException('stopped', 'AbortError'));
    }

    /**
     * @returns {Promise<{file: string, facts: any}>} where it lies in the job folder, and what it says of itself.
     * Throws Refusal, or AbortError when it was stopped.
     */
    async run() {
        if (this.file.size > BYTES_MOST)
            throw new Refusal(413, {
                error: `${this.file.name} has ${(this.file.size / 1e9).toFixed(2)} GB; at most 2.15 GB can be taken. Link or lower its resolution.`,
            });
        let at = await this.#patiently(() => this.#begin());
        for (;;) {
            const answer = await this.#patiently(() => this.#slice(at.upload, at.received));
            if (answer.file) return answer;
            at = {...at, received: answer.received};
        }
    }

    #begin() {
        return post(
            jobAddress(this.job, 'upload'),
            {name: this.file.name, bytes: this.file.size, key: this.#key},
            this.#stop.signal,
        );
    }

    /** @param {string} upload @param {number} offset */
    async #slice(upload, offset) {
        const path = `/api/uploads/${upload}`,
            end = Math.min(offset + SLICE, this.file.size);
        try {
            const answer = await send(
                'PUT',
                `${path}?offset=${offset}`,
                this.file.slice(offset, end),
                this.#stop.signal,
            );
            this.#received = answer.received;
            this.#say(null);
            return answer;
        } catch (trouble) {
            if (trouble instanceof Refusal && trouble.status === 409) return get(path);
            throw trouble;
        }
    }

    /**
     * Does it again until the network is back.
     * @template T
     * @param {() => Promise<T>} act
     * @returns {Promise<T>}
     */
    async #patiently(act) {
        for (;;) {
            this.#stop.signal.throwIfAborted();
            try {
                return await act();
            } catch (trouble) {
                this.#stop.signal.throwIfAborted();
                if (!(trouble instanceof Away)) throw trouble;
                this.#say(trouble);
                await pause(WAIT_MS, this.#stop.signal);
            }
        }
    }

    /** @param {Away | null} away what it waits for */
    #say(away) {
        this.dispatchEvent(
            new CustomEvent('progress', {detail: {received: this.#received, bytes: this.file.size, away}}),
        );
    }
}
