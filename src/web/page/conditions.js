// Printing conditions: what is printed on what, and what its profile is, in plain words.

import {get} from './api.js';
import {fill, h} from './dom.js';
import {mark} from './severity.js';
import {percent} from './words.js';

const INTENTS = {
    relative: 'paper white kept, colours outside the gamut cut',
    perceptual: 'all colours drawn in together',
    saturation: 'colourful rather than true',
    absolute: 'the other white is imitated',
};

/** @param {string} name @param {...import('./dom.js').Child} words */
const fact = (name, ...words) => h('div', null, h('dt', null, name), h('dd', null, words));

/** A condition and its limits. @param {any} condition */
export function conditionFacts(condition) {
    return h(
        'dl',
        {class: 'facts'},
        fact('Printer', condition.printer, condition.mode && `, ${condition.mode}`),
        fact('Film', condition.film),
        fact('Laminate', condition.laminate ?? mark('warn', 'none')),
        fact('Ink', condition.ink),
        fact(
            'Ink limit',
            percent(condition.ink_limit_percent, condition.ink_limit_percent % 1 ? 1 : 0),
            condition.ink_limit_usual && h('span', {class: 'quiet-words'}, ' (usual)'),
        ),
        fact(
            'Rendering',
            condition.intent,
            h(
                'span',
                {class: 'quiet-words'},
                INTENTS[condition.intent] ? ` ${INTENTS[condition.intent]}` : '',
            ),
        ),
        fact('Profile', condition.profile ?? mark('stop', 'none')),
        condition.profile_fingerprint && fact('Fingerprint', h('code', null, condition.profile_fingerprint)),
    );
}

/** @param {any} condition */
const sheet = condition =>
    h(
        'section',
        {class: 'sheet'},
        h('h2', null, condition.name),
        conditionFacts(condition),
        h(
            'ul',
            {class: 'plain'},
            condition.findings.map(finding =>
                h(
                    'li',
                    {class: `finding ${finding.severity}`},
                    h('p', null, mark(finding.severity), ' ', finding.text),
                    h('p', {class: 'do'}, finding.do),
                ),
            ),
        ),
    );

/** @type {import('./router.js').ShowView} */
export async function show(main) {
    const refresh = async () => {
        const {conditions, trouble} = await get('/api/conditions');
        fill(
            main,
            h('h1', null, 'Printing conditions'),
            trouble && h('p', null, mark('stop', trouble)),
            conditions.length
                ? h('div', {class: 'columns'}, conditions.map(sheet))
                : h(
                      'p',
                      {class: 'empty sheet'},
                      'The shop file names no printing condition yet. A condition is a printer with a film, a laminate, an ink and a mode: write it into shop.yaml, under `conditions`.',
                  ),
        );
    };
    await refresh();
    return {title: 'Conditions', refresh};
}
