// Starts the page: what the views share, and which view an address shows.

import {get, waiting} from './api.js';
import {fill} from './dom.js';
import {Live} from './live.js';
import {Notices} from './notices.js';
import {Outbox} from './outbox.js';
import {Press} from './press.js';
import {Router} from './router.js';
import {followWho} from './signed.js';
import {stateBar} from './state.js';
import {ShopClock} from './time.js';
import {askOnLeaving} from './unsaved.js';
import {Units} from './words.js';

/**
 * What every view is given.
 * @typedef {object} Shared
 * @property {Live} live @property {Outbox} outbox @property {ShopClock} clock @property {Notices} notices
 * @property {Press} press drawing waits while something is pressed
 * @property {Units} units @property {() => Promise<any>} floor reads /api/floor, and sets clock and shop by it
 * @property {any} shop what the last answer said of shop and person @property {(address: string) => void} go
 */

const UNITS_STORE = 'lapstrake-units';

/** Inches, millimetres, or null: this browser was never told. */
function ownUnits() {
    const kept = localStorage.getItem(UNITS_STORE);
    return kept ? kept === 'inches' : null;
}

/** @returns {Shared} */
function makeShared() {
    const clock = new ShopClock();
    const shared = {
        live: new Live(),
        clock,
        press: new Press(),
        notices: new Notices(document.getElementById('notices')),
        shop: {},
        units: new Units(ownUnits()),
        outbox: new Outbox(() => clock.iso()),
        go: address => address,
        async floor() {
            const floor = await get('/api/floor');
            clock.set(floor.now);
            shared.shop = floor;
            shared.units.ask(floor.inches);
            shared.live.notice();
            return floor;
        },
    };
    return shared;
}

/** @param {Shared} shared @param {Router} router */
function changeUnits(shared, router) {
    shared.units.own = !shared.units.inches;
    localStorage.setItem(UNITS_STORE, shared.units.inches ? 'inches' : 'millimetres');
    router.drawAgain();
}

const shared = makeShared();
const router = new Router(document.getElementById('main'), shared);
shared.go = address => router.go(address);
const drawState = () =>
    fill(
        document.getElementById('state'),
        stateBar(shared, () => changeUnits(shared, router), drawState),
    );

/** Who may only look sees what can be looked at. */
function showMay() {
    document.body.classList.toggle('looks', shared.shop.role === 'viewer');
}

/** At phone width the rarer views stand behind one button. @param {boolean} all */
function showAllViews(all) {
    document.querySelector('.bar')?.classList.toggle('all', all);
    document.getElementById('more')?.setAttribute('aria-expanded', String(all));
}

document
    .getElementById('more')
    ?.addEventListener('click', event =>
        showAllViews(/** @type {Element} */ (event.currentTarget).getAttribute('aria-expanded') !== 'true'),
    );
document.getElementById('main')?.addEventListener('focus', () => showAllViews(false));
shared.live.addEventListener('network', () => {
    drawState();
    if (!shared.live.here) return;
    shared.notices.back();
    shared.outbox.sendAll();
});
shared.units.addEventListener('changed', drawState);
shared.outbox.addEventListener('changed', drawState);
shared.outbox.addEventListener('away', event => shared.live.notice(/** @type {CustomEvent} */ (event).detail));
waiting.addEventListener('slow', drawState);
followWho(() => shared.shop.who ?? null);
askOnLeaving(() => router.main);
shared.live.start();
await shared.floor().catch(trouble => shared.live.notice(trouble));
showMay();
drawState();
shared.outbox.sendAll();
await router.show();
