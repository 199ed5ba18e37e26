// The head of a job: what it is, its dates and price, and what can be done with it.

import {fill, h} from './dom.js';
import {progressBar} from './progress.js';
import {counts, mark} from './severity.js';
import {whenWords} from './time.js';
import {money, plural} from './words.js';

const WORK = {planning: 'Planning', making: 'Making panels'};

/** @param {any} plan */
const tally = plan => {
    const of = severity => plan.findings.filter(finding => finding.severity === severity).length;
    return counts({stops: of('stop'), warnings: of('warn'), notes: of('note')});
};

/** @param {any} model */
function price({plan, tried}) {
    if (!plan) return null;
    return [h('strong', null, tried?.price ?? money(plan.cost.price, plan.cost.currency)), tried && ` ${tried.price_difference}`];
}

/** @param {string} name @param {...import('./dom.js').Child} words */
const fact = (name, ...words) => h('div', null, h('dt', null, name), h('dd', null, words));

/** @param {any} view the job view */
function actions(view) {
    const {model} = view, {data} = model, stops = data.plan?.findings.some(finding => finding.severity === 'stop');
    if (view.work) return progressBar(WORK[view.work.what], view.work.fraction || null, view.work.words, () => view.act('stop'));
    return h('div', {class: 'actions'},
        data.planned && !stops && h('button', {class: 'main', 'data-focus': 'make', onclick: () => view.act('make')}, 'Make panels'),
        data.planned && stops && h('button', {'data-focus': 'make', onclick: () => view.act('make', {anyway: 'yes'})}, 'Make panels anyway'),
        h('button', {class: data.planned ? null : 'main', 'data-focus': 'plan', onclick: () => view.act('plan')}, data.planned ? 'Plan again' : 'Plan it'),
        h('button', {'data-focus': 'undo', onclick: () => view.undo()}, 'Undo'),
        data.planned && h('a', {class: 'button', href: `/jobs/${encodeURIComponent(model.job)}/report.pdf`, target: '_blank'}, 'Report'));
}

/** @param {HTMLElement} container @param {any} view the job view */
export function drawJobHead(container, view) {
    const {data} = view.model, now = view.shared.clock.now(), {expected} = data, title = view.model.written.title ?? data.title ?? data.job;
    fill(container, h('div', {class: 'job-head'},
        h('div', {class: 'job-title'}, h('h1', {title}, title), h('p', {class: 'quiet-words'}, [data.job, data.vehicle, data.plan && `plan ${data.version}`].filter(Boolean).join(' · '))),
        h('dl', {class: 'facts'}, data.stage && fact('Stage', data.stage), expected && fact('Earliest install', whenWords(expected.earliest_install, now)),
            expected?.due && fact('Due', expected.due.words, expected.late && ' ', expected.late && mark('stop', 'late')),
            data.plan && fact('Price', price(view.model)), data.panels?.length > 0 && fact('Panels', plural(data.panels.length, 'panel')),
            data.plan && fact('Findings', tally({findings: view.model.findings}))),
        actions(view)));
}
