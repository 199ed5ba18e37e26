// How the page asks its server: doc/web.md says what each address means.

import {Waiting} from './waiting.js';

/** The server said no, with a sentence for people. */
export class Refusal extends Error {
    /** @param {number} status @param {any} body */
    constructor(status, body) {
        super(body?.error ?? `The server answered ${status}.`);
        this.status = status;
        this.body = body ?? {};
    }
}

/** What is wrong when a request cannot be done now, and what to do about it. @type {Record<string, string[]>} */
const TROUBLES = {
    offline: ['The network is away.', 'Look at the Wi-Fi of this device.'],
    unreachable: [
        'The server cannot be reached.',
        'Look whether the shop\u2019s computer is on and this device is in the shop\u2019s network.',
    ],
    silent: ['The server does not answer.', 'Look at the shop\u2019s computer; end and start the server if it stays so.'],
    ended: ['Your sign-in has ended.', 'Sign in again.'],
    full: ['The disk of the shop\u2019s computer is full.', 'Make room on it.'],
    busy: ['The server has too much to do.', 'Wait a few seconds.'],
    failed: ['The server could not do it.', 'Look at the shop\u2019s computer.'],
};

/**
 * It could not be done now, and nothing is known about whether the server heard: what is sent again with its key
 * counts once.
 */
export class Away extends Error {
    /** @param {string} kind @param {string} [sentence] the server's own, which says both */
    constructor(kind, sentence) {
        super(sentence ?? TROUBLES[kind].join(' '));
        this.kind = kind;
    }

    /** Whether nothing at all can be asked now, not only this. */
    get all() {
        return ['offline', 'unreachable', 'silent', 'ended'].includes(this.kind);
    }
}

/** A key that makes a request count once however often it is sent. */
export function newKey() {
    const random = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(random, byte => byte.toString(16).padStart(2, '0')).join('');
}

/** Requests that wait for their answer; says when one waits too long. */
export const waiting = new Waiting();
/** The revision that the last answer with one had. */
export const known = {revision: 0};
/** A request without an answer for so long is given up; bytes of files take as long as they take. */
const PATIENCE_MS = 20000;

/** What a status says of a request that may be sent again later. @type {Record<number, string>} */
const LATER = {
    401: 'ended',
    429: 'busy',
    500: 'failed',
    502: 'unreachable',
    503: 'failed',
    504: 'silent',
    507: 'full',
};

/** @param {number} status @param {any} body */
function trouble(status, body) {
    const kind = LATER[status];
    if (!kind) return new Refusal(status, body);
    return new Away(kind, kind === 'ended' ? undefined : body?.error);
}

/** @param {string} path @param {RequestInit} request @param {AbortController} end */
async function fetched(path, request, end) {
    const stop = () => end.abort();
    request.signal?.addEventListener('abort', stop);
    try {
        const answer = await fetch(path, {
            ...request,
            headers: {'X-Lapstrake': 'page', ...request.headers},
            signal: end.signal,
        });
        return {answer, body: await answer.json().catch(failure => (answer.ok ? Promise.reject(failure) : null))};
    } catch (failure) {
        request.signal?.throwIfAborted();
        if (end.signal.aborted) throw new Away('silent');
        throw new Away(navigator.onLine ? 'unreachable' : 'offline');
    } finally {
        request.signal?.removeEventListener('abort', stop);
    }
}

/** @param {string} path @param {RequestInit} [request] @param {number} [patience_ms] */
async function ask(path, request = {}, patience_ms = PATIENCE_MS) {
    const end = new AbortController(),
        timer = setTimeout(() => end.abort(), patience_ms),
        done = waiting.begin();
    try {
        const {answer, body} = await fetched(path, request, end);
        if (!answer.ok) throw trouble(answer.status, body);
        if (typeof body?.revision === 'number') known.revision = body.revision;
        return body;
    } finally {
        clearTimeout(timer);
        done();
    }
}

/** Where to sign in, and come back here. */
export const signInAddress = () => `/sign-in?back=${encodeURIComponent(location.pathname)}`;

/** The address of something of a job. @param {string} job @param {string} [what] */
export const jobAddress = (job, what) => `/api/jobs/${encodeURIComponent(job)}${what ? `/${what}` : ''}`;

/** @param {string} path */
export const get = path => ask(path);

/**
 * Sends a form. Fields are words, or pairs where a name comes more than once; undefined ones are left out.
 * @param {string} path @param {Record<string, unknown> | [string, string][]} [fields] @param {AbortSignal} [signal]
 */
export function post(path, fields = {}, signal) {
    const pairs = Array.isArray(fields)
        ? fields
        : Object.entries(fields).filter(([, value]) => value !== undefined && value !== null);
    return ask(path, {
        method: 'POST',
        body: new URLSearchParams(/** @type {[string, string][]} */ (pairs)),
        signal,
    });
}

/** A file's bytes may go slowly for so long. */
const BYTES_PATIENCE_MS = 15 * 60 * 1000;

/**
 * Sends bytes.
 * @param {'PUT' | 'POST'} method
 * @param {string} path
 * @param {Blob} bytes
 * @param {AbortSignal} [signal]
 */
export const send = (method, path, bytes, signal) =>
    ask(path, {method, body: bytes, signal}, BYTES_PATIENCE_MS);
