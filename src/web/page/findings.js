// Findings with what to do about each; touching one shows its place in the picture.

import {fill, h} from './dom.js';
import {SEVERITIES, mark} from './severity.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */

/** @param {string} what @param {{who: string | null, words: string}} acceptance */
const acceptanceWords = (what, {who, words}) => `${what}${who ? ` by ${who}` : ''}: ${words}`;

/** How findings are told apart. @param {any} finding */
export const findingName = finding => `${finding.code} ${finding.where}`;

/**
 * Worst first; otherwise as the planner says them. Their number in the plan goes with them.
 * @param {any[]} findings
 */
function sorted(findings) {
    return findings
        .map((finding, index) => ({finding, index}))
        .sort(
            (a, b) =>
                SEVERITIES.indexOf(a.finding.severity) - SEVERITIES.indexOf(b.finding.severity) ||
                a.index - b.index,
        );
}

/** Where a finding is, for choosing: the surface before any `/`. @param {any} finding */
const surfaceOf = finding => (finding.where ?? '').split('/')[0];

/**
 * @param {JobModel} model
 * @param {{finding: any, index: number}} entry
 * @param {(finding: any) => void} accept
 */
function item(model, {finding, index}, accept) {
    const chosen = model.chosen?.kind === 'finding' && model.chosen.id === index;
    const {accepted, lapsed} = finding;
    const choose = () =>
        model.choose(chosen ? null : {kind: 'finding', surface: surfaceOf(finding), id: index});
    return h(
        'li',
        {class: `finding ${finding.severity}${chosen ? ' chosen' : ''}`},
        h(
            'button',
            {
                class: 'finding-head',
                'aria-pressed': String(chosen),
                'data-focus': `finding-${index}`,
                onclick: choose,
            },
            mark(finding.severity),
            h('span', null, finding.where || 'job'),
            h('code', null, finding.code),
        ),
        h('p', null, finding.text),
        h(
            'p',
            {class: 'do'},
            finding.do,
            finding.source && h('span', {class: 'quiet-words'}, ` (${finding.source})`),
        ),
        accepted
            ? h('p', null, mark('done', acceptanceWords('Accepted', accepted)))
            : model.mayChange &&
                  chosen &&
                  finding.severity === 'warn' &&
                  h('button', {onclick: () => accept(finding)}, 'I have looked: accept it'),
        lapsed &&
            h(
                'p',
                {class: 'quiet-words'},
                acceptanceWords('Was accepted elsewhere, or when it was less', lapsed),
            ),
    );
}

/** Findings that the trial brought or took away. @param {JobModel} model */
function difference(model) {
    if (!model.tried) return null;
    const names = findings =>
        new Set(findings.map(finding => `${finding.severity} ${findingName(finding)} ${finding.text}`));
    const [before, now] = [names(model.plan.findings), names(model.findings)];
    const more = [...now].filter(name => !before.has(name)).length,
        less = [...before].filter(name => !now.has(name)).length;
    return h(
        'p',
        {class: 'quiet-words'},
        more || less ? `While trying: ${more} new, ${less} gone.` : 'While trying: nothing new.',
    );
}

/** @param {HTMLElement} container @param {JobModel} model @param {(finding: any) => void} accept */
export function drawFindings(container, model, accept) {
    const findings = model.findings,
        {mistakes, trouble} = model.data;
    fill(
        container,
        trouble && h('p', null, mark('stop', trouble)),
        mistakes?.length > 0 &&
            h(
                'ul',
                {class: 'plain'},
                mistakes.map(mistake =>
                    h(
                        'li',
                        {class: 'finding stop'},
                        h('p', null, mark('stop', 'mistake'), ' ', h('code', null, mistake.where)),
                        h('p', null, mistake.text),
                    ),
                ),
            ),
        difference(model),
        findings.length > 0 &&
            h(
                'ul',
                {class: 'plain'},
                sorted(findings).map(entry => item(model, entry, accept)),
            ),
        !findings.length &&
            !mistakes?.length &&
            !trouble &&
            h(
                'p',
                {class: 'quiet-words'},
                model.plan ? 'No findings.' : 'Findings are here once the job is planned.',
            ),
    );
}
