// The planner's alternatives side by side; looking at one changes nothing, choosing one is written into job.yaml.

import {fill, h, tableHead} from './dom.js';
import {mark} from './severity.js';
import {listed, money, number} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */

const HEADS = ['Alternative', 'Price', 'Seams show', 'Panels', 'Film', 'Worst seam', 'Choice'];

/**
 * @param {JobModel} model
 * @param {any} alternative
 * @param {number} index
 * @param {import('./words.js').Units} units
 * @param {(name: string) => void} choose
 */
function row(model, alternative, index, units, choose) {
    const shown = (model.look?.index ?? model.plan.chosen) === index,
        chosen = model.plan.chosen === index;
    const cell = (label, ...children) => h('td', {'data-label': label}, children);
    return h(
        'tr',
        {class: shown ? 'chosen' : null},
        h('th', {scope: 'row'}, listed(alternative.names)),
        cell('Price', money(alternative.price, model.plan.cost.currency)),
        cell('Seams show', money(alternative.seams_show, model.plan.cost.currency)),
        cell('Panels', alternative.panels),
        cell('Film', units.run(alternative.film_mm)),
        cell('Worst seam', `detail ${number(alternative.worst_detail, 2)}`),
        h(
            'td',
            null,
            h(
                'div',
                {class: 'actions'},
                chosen ? mark('done', 'chosen') : null,
                model.mayChange &&
                    !shown &&
                    h('button', {'data-focus': `look-${index}`, onclick: () => model.lookAt(index)}, 'Look'),
                shown &&
                    !chosen &&
                    h(
                        'button',
                        {class: 'main', 'data-focus': `choose-${index}`, onclick: () => choose(alternative.name)},
                        'Choose',
                    ),
                shown &&
                    !chosen &&
                    h('button', {'data-focus': `back-${index}`, onclick: () => model.putBack()}, 'Put back'),
            ),
        ),
    );
}

/**
 * @param {HTMLElement} container
 * @param {JobModel} model
 * @param {import('./words.js').Units} units
 * @param {(name: string) => void} choose
 */
export function drawAlternatives(container, model, units, choose) {
    const list = model.plan?.alternatives ?? [];
    fill(
        container,
        model.plan?.price_note && h('p', {class: 'quiet-words'}, model.plan.price_note),
        list.length
            ? h(
                  'table',
                  {class: 'cards'},
                  tableHead(HEADS),
                  h(
                      'tbody',
                      null,
                      list.map((alternative, index) => row(model, alternative, index, units, choose)),
                  ),
              )
            : h(
                  'p',
                  {class: 'quiet-words'},
                  model.plan
                      ? 'There is one way only: the seams are fixed by hand, or nothing else is possible.'
                      : 'Alternatives are here once the job is planned.',
              ),
    );
}
