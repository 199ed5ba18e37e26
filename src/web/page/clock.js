// The clock is the second picture: from first print to the end on one strip, opening hours light, closed hours dark.

import {fill, freshId, h, s, tableHead} from './dom.js';
import {mark} from './severity.js';
import {whenWords} from './time.js';
import {panelNames, plural} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */

const ROW = 26,
    TOP = 24,
    LABEL_ROW = 16,
    LABEL_WIDTH = 150,
    NAMES = 180;
const WAITS = new Set(['supply', 'dry', 'bond']);
const STEP_WORDS = {
    supply: 'prints on their way',
    print: 'print',
    dry: 'dry',
    laminate: 'laminate',
    bond: 'laminate rests',
    trim: 'trim',
    prepare: 'prepare vehicle',
    install: 'install',
    finish: 'finish',
    check: 'next-day check',
};

/** Longer names would run into the strip. */
const NAME_MOST = 22;

/** Steps of the same panels stand in one row. @param {any[]} steps */
function rowsOf(steps) {
    const rows = new Map();
    for (const step of steps) {
        const name = panelNames(step.panels);
        rows.set(name, [...(rows.get(name) ?? []), step]);
    }
    return [...rows].map(([name, of]) => ({
        name: name.length > NAME_MOST ? plural(of[0].panels.length, 'panel') : name,
        steps: of,
    }));
}

/**
 * From when to when the strip goes, UTC seconds, with a little room.
 * @param {any} data
 * @param {number} now
 */
function span({steps, expected}, now) {
    const from = Math.min(...steps.map(step => step.start.s)),
        last = Math.max(...steps.map(step => step.end.s));
    const marks = [now, expected?.due?.s].filter(at => at > from && at < last + (last - from) * 0.6);
    const to = Math.max(last, ...marks);
    return {from, to: to + (to - from) * 0.02};
}

/** @param {any} step @param {(at: number) => number} x @param {number} y @param {string} hatchFill */
function bar(step, x, y, hatchFill) {
    const waits = WAITS.has(step.step),
        left = x(step.start.s),
        width = Math.max(2, x(step.end.s) - left);
    const words = STEP_WORDS[step.step] ?? step.step;
    return s(
        'g',
        {class: `bar-step ${waits ? 'waits' : 'works'}${step.decides ? ' decides' : ''}`},
        s('title', null, `${words}: ${step.start.words} to ${step.end.words}. ${step.why}`),
        s('rect', {x: left, y: y + 4, width, height: ROW - 8, fill: waits ? hatchFill : null}),
        width > words.length * 8 + 8 && s('text', {x: left + 6, y: y + ROW / 2 + 5}, words),
    );
}

/**
 * Days named where they open, as often as there is room.
 * @param {any[]} hours
 * @param {(at: number) => number} x
 * @param {number} height
 */
function days(hours, x, height) {
    let free = 0;
    return hours.map(({open, close}) => {
        const left = x(open.s),
            words = open.words.split(',')[0],
            room = left >= free;
        if (room) free = left + words.length * 9.5 + 12;
        return [
            s('rect', {
                class: 'open-hours',
                x: left,
                y: TOP,
                width: Math.max(0, x(close.s) - left),
                height: height - TOP,
            }),
            room && s('text', {class: 'day', x: left, y: TOP - 7}, words),
        ];
    });
}

/**
 * A line across the strip with its word at the foot.
 * @param {string} kind
 * @param {string} words
 * @param {number} x
 * @param {number} height
 * @param {number} width
 * @param {number} row of words, 1 where two would run into each other
 */
function line(kind, words, x, height, width, row = 0) {
    const end = x > width - words.length * 8 - 8;
    return s(
        'g',
        {class: `time-line ${kind}`},
        s('line', {x1: x, x2: x, y1: TOP, y2: height + 4 + row * LABEL_ROW}),
        s('text', {x: x + (end ? -4 : 4), y: height + 15 + row * LABEL_ROW, 'text-anchor': end ? 'end' : 'start'}, words),
    );
}

/** @param {any} data the job @param {number} width pixels @param {number} now UTC seconds */
function strip(data, width, now) {
    const rows = rowsOf(data.steps),
        {from, to} = span(data, now),
        names = width > 700 ? NAMES : 0;
    const x = at => names + ((at - from) / (to - from)) * (width - names - 2),
        height = TOP + rows.length * ROW,
        hatch = freshId('waits');
    const within = at => at && at.s >= from && at.s <= to;
    const {earliest_install: install, due} = data.expected ?? {};
    const near = within(install) && within(due) && Math.abs(x(due.s) - x(install.s)) < LABEL_WIDTH,
        below = near ? 1 : 0,
        whole = height + 20 + below * LABEL_ROW;
    return s(
        'svg',
        {
            class: 'clock',
            width,
            height: whole,
            viewBox: `0 0 ${width} ${whole}`,
            role: 'img',
            'aria-label': 'Steps from the first print to the end; the same as a list below',
        },
        s(
            'defs',
            null,
            s(
                'pattern',
                {
                    id: hatch,
                    width: 7,
                    height: 7,
                    patternUnits: 'userSpaceOnUse',
                    patternTransform: 'rotate(45)',
                },
                s('rect', {width: 7, height: 7, class: 'waits-ground'}),
                s('rect', {width: 2, height: 7, class: 'waits-line'}),
            ),
        ),
        s('rect', {class: 'closed-hours', x: names, y: TOP, width: width - names, height: height - TOP}),
        days(
            data.hours.filter(({open, close}) => close.s > from && open.s < to),
            x,
            height,
        ),
        rows.map((row, i) => [
            names && s('text', {class: 'row-name', x: 0, y: TOP + i * ROW + ROW / 2 + 5}, row.name),
            row.steps.map(step => bar(step, x, TOP + i * ROW, `url(#${hatch})`)),
        ]),
        within(install) && line('install', 'earliest install', x(install.s), height, width),
        within(due) && line('due', 'due', x(due.s), height, width, below),
        now >= from && now <= to && line('now', 'now', x(now), height, width),
    );
}

/** @param {any[]} steps */
const asList = steps =>
    h(
        'details',
        null,
        h('summary', null, 'As a list'),
        h(
            'table',
            {class: 'cards'},
            tableHead(['Step', 'Panels', 'From', 'To', 'Why']),
            h(
                'tbody',
                null,
                [...steps]
                    .sort((a, b) => a.start.s - b.start.s)
                    .map(step =>
                        h(
                            'tr',
                            {class: step.decides ? 'decides' : null},
                            h('th', {scope: 'row'}, STEP_WORDS[step.step] ?? step.step),
                            h('td', {'data-label': 'Panels'}, panelNames(step.panels)),
                            h('td', {'data-label': 'From'}, step.start.words),
                            h('td', {'data-label': 'To'}, step.end.words),
                            h('td', {'data-label': 'Why'}, step.why),
                        ),
                    ),
            ),
        ),
    );

/** The dates in words. @param {any} expected @param {number} now */
function dates(expected, now) {
    const line = (name, time) =>
        time && h('div', null, h('dt', null, name), h('dd', null, whenWords(time, now)));
    return h(
        'dl',
        {class: 'dates'},
        line('Finished', expected.finished),
        expected.first_promised &&
            ![expected.earliest_install?.s, expected.finished?.s].includes(expected.first_promised.s) &&
            line('First planned', expected.first_promised),
    );
}

/** @param {HTMLElement} container @param {JobModel} model @param {number} now */
export function drawClock(container, model, now) {
    const {data} = model,
        open = container.querySelector('details')?.open;
    if (!data.steps?.length)
        return fill(
            container,
            h(
                'p',
                {class: 'quiet-words'},
                data.plan
                    ? 'No date can be given: the findings say why.'
                    : 'Times are here once the job is planned.',
            ),
        );
    fill(
        container,
        h(
            'p',
            null,
            data.expected.late && mark('stop', 'late'),
            data.expected.late && ' ',
            data.expected.decides,
        ),
        strip(data, Math.max(280, container.clientWidth), now),
        h('div', {class: 'clock-foot'}, dates(data.expected, now), asList(data.steps)),
    );
    if (open) container.querySelector('details').open = true;
}
