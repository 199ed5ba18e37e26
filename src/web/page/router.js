// Which view an address shows. Links within the page change the view without loading the page again.

import {Away, Refusal, signInAddress, waiting} from './api.js';
import {fill, h} from './dom.js';
import {mayLeave} from './unsaved.js';

/** @typedef {import('./app.js').Shared} Shared */
/**
 * @typedef {object} View
 * @property {string} title
 * @property {(change: {job: string | null}) => unknown} [refresh] something changed on the server
 * @property {() => void} [draw] the units changed: show again what is known
 * @property {() => void} [leave]
 */
/** @typedef {(main: HTMLElement, shared: Shared, name?: string) => Promise<View>} ShowView */

/** Views are loaded when they are first needed. The page has the table: path, where * stands for one part, and module. */
const VIEWS = Array.from(document.querySelectorAll('meta[name="view"]'), meta => {
    const [path, file] = (meta.getAttribute('content') ?? '').split(' ');
    return {pattern: new RegExp(`^${path.replace('*', '([^/]+)')}$`), file: `./${file}`};
});

/** Whoever waits longer is told so. */
const PATIENCE_MS = 100;

/** @param {string} path */
function find(path) {
    for (const {pattern, file} of VIEWS) {
        const match = pattern.exec(path);
        if (match) return {file, name: match[1] && decodeURIComponent(match[1])};
    }
    return null;
}

/** @param {unknown} trouble */
function excuseHeading(trouble) {
    if (trouble instanceof Refusal && trouble.status === 404) return 'Not here';
    if (trouble instanceof Away && trouble.kind === 'ended') return 'Sign in again';
    return trouble instanceof Away ? 'The server does not answer' : 'This could not be shown';
}

/**
 * What stands there instead of a view that could not be shown.
 * @param {unknown} trouble
 * @param {() => void} again
 */
const excuse = (trouble, again) => [
    h('h1', null, excuseHeading(trouble)),
    h('p', null, /** @type {Error} */ (trouble).message),
    trouble instanceof Away && h('p', null, 'This view is shown as soon as the server answers again.'),
    h(
        'p',
        {class: 'actions'},
        trouble instanceof Away && trouble.kind === 'ended'
            ? h('a', {href: signInAddress(), class: 'button main'}, 'Sign in again')
            : h('button', {onclick: again}, 'Try again'),
        h('a', {href: '/jobs', class: 'button'}, 'All jobs'),
    ),
];

export class Router {
    /** @type {View | null} */
    #view = null;
    #turn = 0;
    /** How often a module did not come. */
    #failed = 0;
    /** The address whose view is shown. */
    #shown = '';

    /** @param {HTMLElement} main @param {Shared} shared */
    constructor(main, shared) {
        this.main = main;
        this.shared = shared;
        document.addEventListener('click', event => this.#follow(event));
        window.addEventListener('popstate', () => this.#back());
        shared.live.addEventListener('change', event =>
            this.#refresh(/** @type {CustomEvent} */ (event).detail),
        );
    }

    /** Back and forward: the address is another one already. */
    #back() {
        if (mayLeave(this.main)) this.show();
        else history.pushState(null, '', this.#shown);
    }

    /** @param {string} address */
    go(address) {
        history.pushState(null, '', address);
        window.scrollTo(0, 0);
        return this.show().then(() => this.main.focus({preventScroll: true}));
    }

    /** Draws what is known again, after the units changed. */
    drawAgain() {
        this.#view?.draw?.();
    }

    async show() {
        const turn = ++this.#turn,
            container = h('div', {class: 'view'});
        this.#shown = location.pathname + location.search;
        this.#view?.leave?.();
        this.#view = null;
        this.#markCurrent();
        this.shared.units.ask(Boolean(this.shared.shop.inches));
        const wait = setTimeout(
            () =>
                turn === this.#turn &&
                fill(this.main, h('p', {class: 'view', role: 'status'}, 'One moment: this is being read.')),
            PATIENCE_MS,
        );
        const view = await this.#open(container).catch(trouble => this.#excuse(container, trouble));
        clearTimeout(wait);
        if (turn !== this.#turn) return view?.leave?.();
        this.#view = view;
        if (view) document.title = `${view.title} · lapstrake`;
        fill(this.main, container);
    }

    /** @param {HTMLElement} container @returns {Promise<View>} */
    async #open(container) {
        const found = find(location.pathname);
        if (!found) throw new Refusal(404, {error: `There is no view at ${location.pathname}.`});
        return (await this.#load(found.file)).show(container, this.shared, found.name);
    }

    /**
     * A view's module comes from the server too; browsers ask for one that did not come by another address only.
     * @param {string} file @returns {Promise<{show: ShowView}>}
     */
    async #load(file) {
        const done = waiting.begin();
        try {
            return await import(this.#failed ? `${file}?${this.#failed}` : file);
        } catch {
            this.#failed++;
            throw new Away(navigator.onLine ? 'unreachable' : 'offline');
        } finally {
            done();
        }
    }

    /**
     * @param {HTMLElement} container
     * @param {unknown} trouble
     * @returns {null} no view is there to be refreshed
     */
    #excuse(container, trouble) {
        this.shared.live.notice(trouble);
        fill(
            container,
            excuse(trouble, () => this.show()),
        );
        return null;
    }

    /** @param {{job: string | null}} change */
    async #refresh(change) {
        if (!this.#view) return this.show();
        try {
            await this.#view.refresh?.(change);
        } catch (trouble) {
            if (trouble instanceof Away) this.shared.live.notice(trouble);
            else this.shared.notices.trouble(trouble);
        }
    }

    #markCurrent() {
        for (const link of document.querySelectorAll('.bar nav a')) {
            const here = link.getAttribute('href');
            const current =
                here === location.pathname || (here === '/jobs' && location.pathname.startsWith('/jobs/'));
            if (current) link.setAttribute('aria-current', 'page');
            else link.removeAttribute('aria-current');
        }
    }

    /** @param {MouseEvent} event */
    #follow(event) {
        const link = /** @type {Element} */ (event.target).closest?.('a[href]');
        const plain =
            event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey && !event.altKey;
        if (
            !link ||
            !plain ||
            event.defaultPrevented ||
            link.hasAttribute('download') ||
            link.getAttribute('target')
        )
            return;
        const address = new URL(link.getAttribute('href') ?? '', location.href);
        if (address.origin !== location.origin || address.hash || !find(address.pathname)) return;
        event.preventDefault();
        if (mayLeave(this.main)) this.go(address.pathname + address.search);
    }
}
