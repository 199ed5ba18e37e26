// The shop's clock as this page knows it, and moments in words.

import {fromNow} from './words.js';

/**
 * @typedef {{s: number, words: string} | null} Time a moment as the server says it: UTC seconds, and words in
 *   the shop's zone
 */

/** A device's clock that moved by more than this against its steady one was set, or the device slept. */
const MOVED_S = 2;

/**
 * Follows the server's clock, since a phone's own may be wrong. An answer says a whole second that has begun: of all
 * answers the one that says the most is nearest.
 */
export class ShopClock {
    #ahead = -Infinity;
    #began = NaN;

    /** @param {Time} now from the server */
    set(now) {
        if (!now) return;
        const ahead = now.s - Date.now() / 1000,
            began = (Date.now() - performance.now()) / 1000;
        const steady = Math.abs(began - this.#began) < MOVED_S;
        this.#ahead = steady ? Math.max(this.#ahead, ahead) : ahead;
        this.#began = began;
    }

    /** UTC seconds. */
    now() {
        return Date.now() / 1000 + (this.#ahead === -Infinity ? 0 : this.#ahead);
    }

    /** `2027-03-04T10:40:25Z`, as the server reads it. */
    iso() {
        return new Date(this.now() * 1000).toISOString().replace(/\.\d+/, '');
    }
}

/** "Thu 4 Mar, 10:40 (in 5 h 20 min)". @param {Time} time @param {number} now */
export const whenWords = (time, now) => (time ? `${time.words} (${fromNow(time.s - now)})` : 'no date yet');
