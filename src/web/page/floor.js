// What is ready: the steps that can be done now, late ones first, and what becomes ready next.

import {fill, h} from './dom.js';
import {mark} from './severity.js';
import {resetWhen, signedFields, signedValues} from './signed.js';
import {whenWords} from './time.js';
import {Undo} from './undo.js';
import {fromNow, panelNames} from './words.js';

/** @typedef {import('./app.js').Shared} Shared */
/** @typedef {(step: any, button: HTMLButtonElement) => void} RecordStep */

/** The panel's own page. @param {string} job @param {string} panel */
export const panelAddress = (job, panel) => `/P/${encodeURIComponent(job)}/${encodeURIComponent(panel)}`;

/** Steps that need no figures can be recorded for all their panels at once. */
const AT_ONCE = new Set(['printed', 'hung', 'dry-checked', 'trimmed']);

/** @param {any} step @param {number} now @param {RecordStep | false} record not for who may only look */
function readyStep(step, now, record) {
    return h(
        'li',
        {class: step.late ? 'step late' : 'step'},
        h('p', {class: 'step-what'}, h('strong', null, step.step), ' ', panelNames(step.panels)),
        h(
            'p',
            {class: 'step-job'},
            h('a', {href: `/jobs/${encodeURIComponent(step.job)}`}, step.job),
            ' ',
            step.title,
        ),
        h(
            'p',
            {class: 'step-why'},
            step.late && mark('stop', 'late'),
            step.late && ' ',
            step.why,
            step.needed && ` · needed by ${whenWords(step.needed, now)}`,
        ),
        h(
            'p',
            {class: 'step-panels'},
            step.panels.map(panel =>
                h(
                    'a',
                    {
                        class: 'button',
                        href: panelAddress(step.job, panel),
                        'data-focus': `ready-${step.job}-${panel}`,
                    },
                    panel,
                ),
            ),
            step.waits && mark('warn', 'entered here, not sent yet'),
            record &&
                !step.waits &&
                step.panels.length > 1 &&
                AT_ONCE.has(step.kind) &&
                h(
                    'button',
                    {onclick: event => record(step, event.currentTarget), 'data-focus': `all-${step.job}-${step.panels[0]}`},
                    `${step.step}: all ${step.panels.length} done`,
                ),
        ),
    );
}

/** @param {any} step @param {number} now */
function nextStep(step, now) {
    return h(
        'li',
        {class: 'step'},
        h(
            'p',
            {class: 'step-what'},
            h('span', {class: 'big'}, step.from ? fromNow(step.from.s - now) : ''),
            ' ',
            h('strong', null, step.step),
            ' ',
            panelNames(step.panels),
        ),
        h(
            'p',
            {class: 'step-job'},
            h('a', {href: `/jobs/${encodeURIComponent(step.job)}`}, step.job),
            ' ',
            step.title,
        ),
        h(
            'p',
            {class: 'step-why'},
            step.from && !step.why.includes(step.from.words) && `${step.from.words} · `,
            step.why,
            step.late && ' ',
            step.late && mark('stop', 'late'),
        ),
    );
}

/** @param {any} floor */
function empty(floor) {
    if (!floor.jobs.length)
        return h(
            'div',
            {class: 'empty'},
            h('p', null, 'There is no job in this folder yet.'),
            floor.role !== 'viewer' &&
                h('a', {class: 'button main', href: '/new'}, 'Make the first job'),
        );
    const soonest = floor.next[0];
    return h(
        'div',
        {class: 'empty'},
        h(
            'p',
            null,
            'Nothing can be done right now.',
            soonest?.from
                ? ` Next: ${soonest.step} ${panelNames(soonest.panels)}, ${soonest.from.words}.`
                : ' A job that is planned shows its first step here.',
        ),
        !soonest && h('a', {class: 'button', href: '/jobs'}, 'See the jobs'),
    );
}

/** Jobs that need someone at the desk first. @param {any[]} jobs */
function atTheDesk(jobs) {
    const waiting = jobs.filter(job => job.trouble || job.stops || !job.panels || job.late);
    if (!waiting.length) return null;
    return h(
        'section',
        {class: 'sheet', 'aria-labelledby': 'desk-heading'},
        h('h2', {id: 'desk-heading'}, 'Waits at the desk'),
        h(
            'ul',
            {class: 'plain'},
            waiting
                .slice(0, 20)
                .map(job =>
                    h(
                        'li',
                        null,
                        h(
                            'a',
                            {class: 'row', href: `/jobs/${encodeURIComponent(job.job)}`},
                            h('span', null, [job.job, job.title].filter(Boolean).join(' ')),
                            job.trouble || job.stops
                                ? mark('stop', job.trouble ? 'cannot be read' : `${job.stops} stop`)
                                : job.late
                                  ? mark('stop', 'late')
                                  : mark('note', job.stage),
                        ),
                    ),
                ),
        ),
        waiting.length > 20 && h('p', null, h('a', {href: '/jobs'}, `and ${waiting.length - 20} more`)),
    );
}

/** @param {any} floor @param {number} now @param {RecordStep | false} record */
const nowList = (floor, now, record) =>
    floor.ready.length
        ? h(
              'ol',
              {class: 'steps'},
              floor.ready.map(step => readyStep(step, now, record)),
          )
        : empty(floor);

/** @param {any} floor @param {number} now */
const nextList = (floor, now) =>
    h(
        'section',
        {class: 'sheet', 'aria-labelledby': 'next-heading'},
        h('h2', {id: 'next-heading'}, 'Next'),
        floor.next.length
            ? h(
                  'ol',
                  {class: 'steps'},
                  floor.next.slice(0, 30).map(step => nextStep(step, now)),
              )
            : h('p', {class: 'quiet-words'}, 'Nothing is drying or resting.'),
    );

/** @type {import('./router.js').ShowView} */
export async function show(main, shared) {
    let floor = await shared.floor();
    const mayRecord = floor.role !== 'viewer',
        undo = new Undo(shared.outbox, shared.notices, () => refresh().catch(() => drawNow())),
        signed = mayRecord && h('form', {onsubmit: event => event.preventDefault()}, signedFields(floor.who));
    const record = async (step, button) => {
        button.disabled = true;
        try {
            const receipt = await shared.outbox.record(
                step.job,
                {kind: step.kind, panels: step.panels.join(','), ...signedValues(signed)},
                `${step.step} ${panelNames(step.panels)}`,
            );
            resetWhen(signed);
            shared.notices.settle();
            undo.offer(receipt);
            if (!receipt.kept) await refresh();
        } catch (trouble) {
            shared.notices.trouble(trouble);
        } finally {
            button.disabled = false;
        }
    };
    const now = h('div', null),
        side = h('div', {class: 'floor-side'});
    const drawNow = () => {
        for (const step of floor.ready) step.waits = shared.outbox.waitsFor(step.job, step.kind, step.panels);
        fill(now, nowList(floor, shared.clock.now(), mayRecord && record));
        fill(side, nextList(floor, shared.clock.now()), atTheDesk(floor.jobs));
    };
    const refresh = async () => {
        floor = await shared.floor();
        shared.press.after(drawNow);
    };
    fill(
        main,
        h('h1', null, 'What is ready'),
        h(
            'div',
            {class: 'floor'},
            h(
                'section',
                {class: 'sheet', 'aria-labelledby': 'now-heading'},
                h('h2', {id: 'now-heading'}, 'Now'),
                signed,
                undo.element,
                now,
            ),
            side,
        ),
    );
    drawNow();
    const drawSoon = () => shared.press.after(drawNow);
    shared.outbox.addEventListener('changed', drawSoon);
    const timer = setInterval(() => document.hidden || refresh().catch(() => drawNow()), 60000);
    const leave = () => {
        clearInterval(timer);
        shared.outbox.removeEventListener('changed', drawSoon);
    };
    return {title: 'What is ready', refresh, draw: drawNow, leave};
}
