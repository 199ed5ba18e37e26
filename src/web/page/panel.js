// What script adds to a panel's page: the waiting time counts down, entries survive a lost network, photographs, Undo,
// and the page is read again when something changed.

import {Away, Refusal, jobAddress, known, send, waiting} from './api.js';
import {fill, h} from './dom.js';
import {Live} from './live.js';
import {Notices} from './notices.js';
import {Outbox} from './outbox.js';
import {followWho, showWho, whoNow} from './signed.js';
import {network, unsent} from './state.js';
import {ShopClock} from './time.js';
import {carryTyped} from './typed.js';
import {Undo} from './undo.js';
import {askOnLeaving} from './unsaved.js';
import {duration} from './words.js';

const panel = () => /** @type {HTMLElement} */ (document.getElementById('panel'));
const person = () => panel().dataset.person || null;
const clock = new ShopClock();
const live = new Live();
const outbox = new Outbox(() => clock.iso());
const notices = new Notices(document.getElementById('notices'));
const undo = new Undo(outbox, notices, () => readAgain());
const photograph = h('input', {
    type: 'file',
    accept: 'image/jpeg,image/png',
    capture: 'environment',
    id: 'photo',
});

function countDown() {
    const wait = document.getElementById('wait');
    if (!wait) return;
    const left = Number(wait.dataset.from) - clock.now();
    if (left > 0) wait.textContent = duration(left);
    else readAgain();
}

/** This page as the server has it now; null: it cannot be had. */
async function readPage() {
    const done = waiting.begin();
    try {
        const answer = await fetch(location.pathname);
        if (new URL(answer.url).pathname === '/sign-in') throw new Away('ended');
        if (!answer.ok) return null;
        return new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById('panel');
    } catch (trouble) {
        live.notice(trouble instanceof Away ? trouble : new Away(navigator.onLine ? 'unreachable' : 'offline'));
        return null;
    } finally {
        done();
    }
}

/** Reads this page again; what was typed and chosen stays. */
async function readAgain() {
    const fresh = await readPage(),
        before = panel();
    if (!fresh) return;
    const lost = carryTyped(before, fresh);
    before.replaceWith(document.adoptNode(fresh));
    begin();
    if (lost.length)
        notices.say(
            `${panel().dataset.panel} went on meanwhile; what you typed is not needed any more: ${lost.join(', ')}.`,
            'warn',
        );
}

/** @param {HTMLFormElement} form */
function fieldsOf(form) {
    const said = [...new FormData(form)].filter(([, value]) => typeof value === 'string' && value.trim());
    const {token, key, ...fields} = /** @type {Record<string, string>} */ (Object.fromEntries(said));
    return {...fields, panels: panel().dataset.panel ?? ''};
}

/** @param {Refusal} refusal @param {Record<string, string>} fields @param {() => void} done */
function refused(refusal, fields, done) {
    const {gate} = refusal.body,
        reason = h('input', {required: true, maxlength: 2000, id: 'reason'});
    const again = event => {
        event.preventDefault();
        record({...fields, override: reason.value.trim()}, event.submitter, done);
    };
    notices.show(
        h(
            'div',
            {class: 'standing'},
            h(
                'section',
                {class: 'sheet refusal', role: 'alert'},
                h('h2', null, 'Not recorded'),
                h('p', null, refusal.message),
                gate?.from && h('p', null, `Open from ${gate.from.words}.`),
                gate?.may_override &&
                    h(
                        'form',
                        {onsubmit: again},
                        h('div', {class: 'field'}, h('label', {for: 'reason'}, 'Why it is done anyway'), reason),
                        h('button', null, 'Record it with this reason'),
                    ),
                h('button', {class: 'quiet', onclick: () => notices.clear()}, 'Leave it'),
            ),
        ),
    );
    const asked =
        gate?.asks?.length &&
        /** @type {HTMLElement | null} */ (panel().querySelector(`form [name=${gate.asks[0]}]`));
    (asked || (gate?.may_override && reason))?.focus?.();
}

/**
 * @param {Record<string, string>} fields of the facts form @param {HTMLButtonElement | null} button waits meanwhile
 * @param {() => void} done it is on record, or kept here
 */
async function record(fields, button, done) {
    if (button) button.disabled = true;
    try {
        const {panels, kind} = fields,
            words = button?.dataset.words ?? kind;
        const receipt = await outbox.record(panel().dataset.job ?? '', fields, `${words} ${panels}`);
        notices.clear();
        done();
        undo.offer(receipt);
        if (!receipt.kept) await readAgain();
    } catch (trouble) {
        if (!(trouble instanceof Refusal)) throw trouble;
        refused(trouble, fields, done);
    } finally {
        if (button) button.disabled = false;
        showWaiting();
    }
}

/** A step that was entered here and not sent yet is not entered again. */
function showWaiting() {
    const {job = '', panel: name = ''} = panel().dataset;
    for (const button of /** @type {NodeListOf<HTMLButtonElement>} */ (panel().querySelectorAll('form button.main'))) {
        const kind = /** @type {HTMLInputElement | null} */ (button.form?.querySelector('[name=kind]'))?.value ?? '';
        button.disabled = outbox.waitsFor(job, kind, [name]);
    }
}

async function sendPhotograph() {
    const file = photograph.files?.[0];
    if (!file) return;
    try {
        const {photo} = await send('POST', jobAddress(panel().dataset.job ?? '', 'photo'), file);
        const who = whoNow(person());
        await record(
            {kind: 'photo', photo, panels: panel().dataset.panel ?? '', ...(who ? {who} : {})},
            null,
            () => (photograph.value = ''),
        );
    } catch (trouble) {
        if (!(trouble instanceof Refusal) && !(trouble instanceof Away)) throw trouble;
        notices.trouble(trouble, {words: 'Send the photograph again', act: sendPhotograph});
    }
}

const drawState = () => fill(document.getElementById('state'), network(live), unsent(outbox));

/** Sets up what the server's page has, each time it was read. */
function begin() {
    clock.set({s: Number(panel().dataset.now), words: ''});
    known.revision = Number(panel().dataset.revision);
    showWho(panel(), whoNow(person()));
    for (const form of panel().querySelectorAll('form'))
        form.addEventListener('submit', event => {
            event.preventDefault();
            record(fieldsOf(form), /** @type {HTMLButtonElement} */ (event.submitter), () => form.reset());
        });
    document.getElementById('undo')?.replaceWith(undo.element);
    const place = document.getElementById('photograph');
    if (place)
        fill(place, h('div', {class: 'field'}, h('label', {for: 'photo'}, 'Take a photograph'), photograph));
    showWaiting();
    countDown();
}

photograph.addEventListener('change', sendPhotograph);
live.addEventListener('network', () => {
    drawState();
    if (!live.here) return;
    notices.back();
    outbox.sendAll();
});
live.addEventListener(
    'change',
    event =>
        [null, panel().dataset.job].includes(/** @type {CustomEvent} */ (event).detail.job) && readAgain(),
);
outbox.addEventListener('changed', () => (drawState(), showWaiting()));
outbox.addEventListener('away', event => live.notice(/** @type {CustomEvent} */ (event).detail));
waiting.addEventListener('slow', drawState);
askOnLeaving(panel);
followWho(person);
undo.element.id = 'undo';
begin();
drawState();
live.start();
outbox.sendAll();
setInterval(countDown, 15000);
