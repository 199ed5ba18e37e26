// What script adds to a panel's page: the waiting time counts down, entries survive a lost network, photographs,
// and the page is read again when something changed.

import {Away, Refusal, jobAddress, newKey, send} from './api.js';
import {fill, h} from './dom.js';
import {Live} from './live.js';
import {Notices} from './notices.js';
import {Outbox, localMinute} from './outbox.js';
import {mark} from './severity.js';
import {ShopClock, duration} from './time.js';
import {plural} from './words.js';

const panel = () => /** @type {HTMLElement} */ (document.getElementById('panel'));
const clock = new ShopClock();
const live = new Live();
const outbox = new Outbox(() => localMinute(clock.now(), panel().dataset.zone || undefined));
const notices = new Notices(document.getElementById('notices'));
const photograph = h('input', {
    type: 'file',
    accept: 'image/jpeg,image/png',
    capture: 'environment',
    id: 'photo',
});

/** Whether a form here has something typed in it. */
const isTyped = () =>
    [...panel().querySelectorAll('form')].some(form =>
        [...form.elements].some(
            one =>
                one instanceof HTMLInputElement &&
                one.type !== 'hidden' &&
                one.type !== 'file' &&
                one.value !== one.defaultValue,
        ),
    );

function countDown() {
    const wait = document.getElementById('wait');
    if (!wait) return;
    const left = Number(wait.dataset.from) - clock.now();
    if (left > 0) wait.textContent = duration(left);
    else readAgain();
}

/** Reads this page again; what was typed stays, and then it is read when that is sent. */
async function readAgain() {
    if (isTyped()) return;
    const answer = await fetch(location.pathname).catch(() => null);
    if (!answer?.ok) return live.notice(false);
    const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById('panel');
    if (!fresh) return;
    const open = [...panel().querySelectorAll('details')].map(one => one.open);
    panel().replaceWith(document.adoptNode(fresh));
    if (open.length === panel().querySelectorAll('details').length)
        [...panel().querySelectorAll('details')].forEach((one, i) => (one.open = open[i]));
    begin();
}

/** @param {HTMLFormElement} form */
function fieldsOf(form) {
    const fields = /** @type {Record<string, string>} */ (
        Object.fromEntries(
            [...new FormData(form)].filter(
                ([name, value]) => typeof value === 'string' && value && name !== 'token',
            ),
        )
    );
    return {...fields, panels: panel().dataset.panel ?? ''};
}

/** @param {Refusal} refusal @param {Record<string, string>} fields */
function refused(refusal, fields) {
    const {gate} = refusal.body,
        reason = h('input', {required: true, maxlength: 2000, id: 'reason'});
    const again = event => {
        event.preventDefault();
        record({...fields, key: newKey(), override: reason.value.trim()});
    };
    fill(
        document.getElementById('notices'),
        h(
            'div',
            {class: 'standing'},
            h(
                'section',
                {class: 'sheet refusal', role: 'alert'},
                h('h2', null, 'Not recorded'),
                h('p', null, refusal.message),
                gate && h('p', null, gate.why, gate.from && ` Open from ${gate.from.words}.`),
                gate?.may_override &&
                    h(
                        'form',
                        {onsubmit: again},
                        h(
                            'div',
                            {class: 'field'},
                            h('label', {for: 'reason'}, 'Why it is done all the same'),
                            reason,
                        ),
                        h('button', null, 'Record it with this reason'),
                    ),
                h('button', {class: 'quiet', onclick: () => notices.clear()}, 'Leave it'),
            ),
        ),
    );
    if (gate?.may_override) reason.focus();
}

/** @param {Record<string, string>} fields of the facts form */
async function record(fields) {
    try {
        const {kept} = await outbox.record(
            panel().dataset.job ?? '',
            fields,
            `${fields.kind} ${fields.panels}`,
        );
        notices.say(
            kept ? 'The network is away. This entry is kept here and sent when it is back.' : 'Recorded.',
            kept ? 'warn' : 'done',
        );
        if (kept) return;
        for (const form of panel().querySelectorAll('form')) form.reset();
        await readAgain();
    } catch (trouble) {
        if (trouble instanceof Refusal) refused(trouble, fields);
        else throw trouble;
    }
}

async function sendPhotograph() {
    const file = photograph.files?.[0];
    if (!file) return;
    try {
        const {photo} = await send('POST', jobAddress(panel().dataset.job ?? '', 'photo'), file);
        await record({kind: 'photo', photo, panels: panel().dataset.panel ?? '', key: newKey()});
        photograph.value = '';
    } catch (trouble) {
        if (!(trouble instanceof Refusal) && !(trouble instanceof Away)) throw trouble;
        notices.say(
            trouble instanceof Away
                ? 'The network is away. The photograph is still chosen: send it again when it is back.'
                : trouble.message,
            'stop',
            {words: 'Send it again', act: sendPhotograph},
        );
    }
}

function drawState() {
    const waiting = outbox.entries.filter(entry => !entry.refused).length,
        back = outbox.entries.length - waiting;
    fill(
        document.getElementById('state'),
        !live.here && mark('warn', 'network away'),
        waiting > 0 && mark('warn', `${plural(waiting, 'entry', 'entries')} kept to be sent`),
        back > 0 && h('a', {href: '/'}, mark('stop', `${plural(back, 'entry', 'entries')} refused: look`)),
    );
}

/** Sets up what the server's page has, each time it was read. */
function begin() {
    clock.set({s: Number(panel().dataset.now), words: ''});
    for (const form of panel().querySelectorAll('form'))
        form.addEventListener('submit', event => {
            event.preventDefault();
            record(fieldsOf(form));
        });
    const place = document.getElementById('photograph');
    if (place)
        fill(place, h('div', {class: 'field'}, h('label', {for: 'photo'}, 'Take a photograph'), photograph));
    countDown();
}

photograph.addEventListener('change', sendPhotograph);
live.addEventListener('network', () => (drawState(), live.here && outbox.sendAll().then(readAgain)));
live.addEventListener(
    'change',
    event =>
        [null, panel().dataset.job].includes(/** @type {CustomEvent} */ (event).detail.job) && readAgain(),
);
outbox.addEventListener('changed', drawState);
begin();
drawState();
live.start();
outbox.sendAll();
setInterval(countDown, 15000);
