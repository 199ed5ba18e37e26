// How the page asks its server: doc/web.md says what each address means.

/** The server said no, with a sentence for people. */
export class Refusal extends Error {
    /** @param {number} status @param {any} body */
    constructor(status, body) {
        super(body?.error ?? `The server answered ${status}.`);
        this.status = status;
        this.body = body ?? {};
    }
}

/** The server could not be reached; nothing is known about whether it heard. */
export class Away extends Error {
    constructor() {
        super('The network is away. What you typed is kept.');
    }
}

/** A key that makes a request count once however often it is sent. */
export function newKey() {
    const random = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(random, byte => byte.toString(16).padStart(2, '0')).join('');
}

/** @param {string} path @param {RequestInit} [request] */
async function ask(path, request = {}) {
    let answer;
    try {
        answer = await fetch(path, {...request, headers: {'X-Lapstrake': 'page', ...request.headers}});
    } catch {
        throw new Away();
    }
    if (answer.status === 401) location.assign(`/sign-in?back=${encodeURIComponent(location.pathname)}`);
    if ([502, 503, 504].includes(answer.status)) throw new Away();
    const body = await answer.json().catch(() => null);
    if (!answer.ok) throw new Refusal(answer.status, body);
    return body;
}

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

/**
 * Sends bytes.
 * @param {'PUT' | 'POST'} method
 * @param {string} path
 * @param {Blob} bytes
 * @param {AbortSignal} [signal]
 */
export const send = (method, path, bytes, signal) => ask(path, {method, body: bytes, signal});
