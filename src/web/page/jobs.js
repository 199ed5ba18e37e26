// Every job: stage, dates and worst finding; found by number, title or vehicle.

import {fill, h, tableHead} from './dom.js';
import {counts, mark} from './severity.js';
import {plural} from './words.js';

/** @param {any} job */
function findings(job) {
    if (job.trouble) return mark('stop', job.trouble);
    return job.panels || job.stops ? counts(job) : '';
}

/** @param {any} job */
function row(job) {
    const address = `/jobs/${encodeURIComponent(job.job)}`;
    const cell = (label, ...children) => h('td', {'data-label': label}, children);
    return h(
        'tr',
        null,
        h('th', {scope: 'row'}, h('a', {href: address, 'data-focus': address}, job.job)),
        cell('Title', h('a', {class: 'plain-link', href: address, tabindex: -1}, job.title)),
        cell('Vehicle', job.vehicle),
        cell('Stage', job.stage),
        cell('Installed', job.panels ? `${job.installed} of ${job.panels}` : ''),
        cell('Earliest install', job.earliest_install?.words ?? ''),
        cell('Due', job.due?.words ?? '', job.late && ' ', job.late && mark('stop', 'late')),
        cell('Findings', findings(job)),
    );
}

const HEADS = ['Job', 'Title', 'Vehicle', 'Stage', 'Installed', 'Earliest install', 'Due', 'Findings'];

/** Late ones and stops first, then by due date, then as they come. @param {any[]} jobs */
function sorted(jobs) {
    const urgency = job =>
        job.panels && job.installed === job.panels ? 3 : job.late || job.stops || job.trouble ? 0 : 1;
    return [...jobs].sort(
        (a, b) =>
            urgency(a) - urgency(b) ||
            (a.due?.s ?? Infinity) - (b.due?.s ?? Infinity) ||
            a.job.localeCompare(b.job),
    );
}

/** @param {any[]} jobs @param {string} words */
function matching(jobs, words) {
    const parts = words.toLowerCase().split(/\s+/).filter(Boolean);
    return jobs.filter(job =>
        parts.every(part =>
            [job.job, job.title, job.vehicle, job.stage].join(' ').toLowerCase().includes(part),
        ),
    );
}

/** @param {any[]} jobs @param {string} words @param {boolean} may change something */
function table(jobs, words, may) {
    const found = sorted(matching(jobs, words));
    if (!jobs.length)
        return h(
            'div',
            {class: 'empty sheet'},
            h('p', null, 'There is no job in this folder yet.'),
            may && h('a', {class: 'button main', href: '/new'}, 'Make the first job'),
        );
    if (!found.length)
        return h(
            'div',
            {class: 'empty sheet'},
            h(
                'p',
                null,
                `No job has "${words}" in its number, title, vehicle or stage. Take a word out to see more.`,
            ),
        );
    return h(
        'table',
        {class: 'sheet jobs cards'},
        h(
            'caption',
            null,
            found.length === jobs.length
                ? plural(jobs.length, 'job')
                : `${plural(found.length, 'job')} of ${jobs.length}`,
        ),
        tableHead(HEADS),
        h('tbody', null, found.map(row)),
    );
}

/** @type {import('./router.js').ShowView} */
export async function show(main, shared) {
    let floor = await shared.floor();
    const list = h('div', {'aria-live': 'off'});
    const search = h('input', {type: 'search', id: 'find', autocomplete: 'off', oninput: () => draw()});
    const draw = () => fill(list, table(floor.jobs, search.value.trim(), floor.role !== 'viewer'));
    fill(
        main,
        h(
            'div',
            {class: 'head'},
            h('h1', null, 'Jobs'),
            h('div', {class: 'field find'}, h('label', {for: 'find'}, 'Find'), search),
            floor.role !== 'viewer' && h('a', {class: 'button main', href: '/new'}, 'New job'),
        ),
        list,
    );
    draw();
    const refresh = async () => {
        floor = await shared.floor();
        shared.press.after(draw);
    };
    return {title: 'Jobs', refresh, draw};
}
