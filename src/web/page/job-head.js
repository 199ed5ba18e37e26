// The head of a job: what it is, its dates and price, and what can be done with it.

import {fill, h} from './dom.js';
import {ProgressBar} from './progress.js';
import {counts, mark} from './severity.js';
import {whenWords} from './time.js';
import {money, plural} from './words.js';

const WORK = {planning: 'Planning', making: 'Making panels', quoting: 'Making the quote'};

/** @param {any} plan */
const tally = plan => {
    const of = severity => plan.findings.filter(finding => finding.severity === severity).length;
    return counts({stops: of('stop'), warnings: of('warn'), notes: of('note')});
};

/** What cannot be made has no price. @param {any} model */
function price({plan, tried, impossible}) {
    if (!plan) return null;
    if (impossible) return mark('stop', 'cannot be made like this');
    return [
        h('strong', null, tried?.price ?? money(plan.cost.asked, plan.cost.currency)),
        tried?.price_difference && ` ${tried.price_difference}`,
    ];
}

/** @param {string} name @param {...import('./dom.js').Child} words */
const fact = (name, ...words) => h('div', null, h('dt', null, name), h('dd', null, words));

/** @param {any} view the job view @param {boolean} planned @param {boolean} stops */
const changes = (view, planned, stops) => [
    planned &&
        !stops &&
        h('button', {class: 'main', 'data-focus': 'make', onclick: () => view.act('make')}, 'Make panels'),
    planned &&
        stops &&
        h(
            'button',
            {'data-focus': 'make', onclick: () => view.act('make', {anyway: 'yes'})},
            'Make panels anyway',
        ),
    h(
        'button',
        {class: planned ? null : 'main', 'data-focus': 'plan', onclick: () => view.act('plan')},
        planned ? 'Plan again' : 'Plan it',
    ),
    h('button', {'data-focus': 'undo', onclick: () => view.undo()}, 'Undo'),
];

/**
 * Buttons of the head; which there are depends on the plan only.
 * @param {any} view the job view
 * @param {boolean} planned
 * @param {boolean} stops
 */
const buttons = (view, planned, stops) =>
    h(
        'div',
        {class: 'actions'},
        view.model.mayChange && changes(view, planned, stops),
        planned &&
            h(
                'a',
                {
                    class: 'button',
                    href: `/jobs/${encodeURIComponent(view.model.job)}/report.pdf`,
                    target: '_blank',
                },
                'Report',
            ),
    );

/** The head of a job view: facts are drawn anew, buttons and bar only when others are needed. */
export class JobHead {
    #shown = '';

    /** @param {HTMLElement} container @param {any} view the job view */
    constructor(container, view) {
        this.view = view;
        this.bar = new ProgressBar(() => view.act('stop'));
        this.title = h('div', {class: 'job-title'});
        this.facts = h('dl', {class: 'facts'});
        this.actions = h('div', null);
        fill(container, h('div', {class: 'job-head'}, this.title, this.facts, this.actions));
    }

    draw() {
        const {model, work} = this.view,
            {data} = model,
            title = model.written.title ?? data.title ?? data.job;
        fill(
            this.title,
            h('h1', {title}, title),
            h(
                'p',
                {class: 'quiet-words'},
                [data.job, data.vehicle, data.plan && `plan ${data.version}`].filter(Boolean).join(' · '),
            ),
        );
        fill(this.facts, facts(this.view));
        if (work) this.bar.show(WORK[work.what], work.fraction || null, work.words);
        const planned = Boolean(data.planned),
            stops = Boolean(data.plan?.findings.some(finding => finding.severity === 'stop'));
        const wanted = work ? 'work' : `${planned} ${stops}`;
        if (wanted !== this.#shown)
            fill(this.actions, work ? this.bar.element : buttons(this.view, planned, stops));
        this.#shown = wanted;
    }
}

/** @param {any} view the job view */
function facts(view) {
    const {model} = view,
        {data} = model,
        {expected} = data;
    return [
        data.stage && fact('Stage', data.stage),
        expected && fact('Earliest install', whenWords(expected.earliest_install, view.shared.clock.now())),
        expected?.due &&
            fact('Due', expected.due.words, expected.late && ' ', expected.late && mark('stop', 'late')),
        data.plan && fact('Price', price(model)),
        data.panels?.length > 0 && fact('Panels', plural(data.panels.length, 'panel')),
        data.plan && fact('Findings', tally({findings: model.findings})),
    ];
}
