// Files to fetch, and what materials and work the price is made of.

import {fill, h, tableHead} from './dom.js';
import {mark} from './severity.js';
import {bytes, hours, money, plural} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */

/** @param {HTMLElement} container @param {JobModel} model */
export function drawFiles(container, model) {
    const {files, mistakes, panels_old} = model.data;
    fill(
        container,
        panels_old &&
            h(
                'p',
                null,
                mark(
                    'warn',
                    mistakes?.length
                        ? 'The files in panels are of an earlier plan: the job cannot be read as it stands. Do not print them.'
                        : 'The files in panels are of another plan than this one. Make panels writes them again.',
                ),
            ),
        files?.length
            ? h(
                  'ul',
                  {class: 'plain'},
                  files.map(file =>
                      h(
                          'li',
                          null,
                          h(
                              'a',
                              {class: 'row', href: file.address, download: true},
                              h('span', null, file.name),
                              h('span', {class: 'quiet-words'}, bytes(file.bytes)),
                          ),
                      ),
                  ),
              )
            : h(
                  'p',
                  {class: 'quiet-words'},
                  'Nothing is made yet. Make panels writes the print files and the job sheet.',
              ),
    );
}

/**
 * Rolls as the plan lays them.
 * @param {HTMLElement} container
 * @param {JobModel} model
 * @param {import('./words.js').Units} units
 */
export function drawRolls(container, model, units) {
    const rolls = model.plan?.rolls ?? [];
    fill(
        container,
        rolls.length
            ? h(
                  'table',
                  {class: 'cards'},
                  tableHead(['Film', 'Width', 'Used', 'Panels']),
                  h(
                      'tbody',
                      null,
                      rolls.map(roll =>
                          h(
                              'tr',
                              null,
                              h('th', {scope: 'row'}, roll.film),
                              h('td', {'data-label': 'Width'}, units.length(roll.width_mm)),
                              h('td', {'data-label': 'Used'}, units.run(roll.used_mm)),
                              h(
                                  'td',
                                  {'data-label': 'Panels'},
                                  roll.placements.map(one => one.panel).join(', '),
                              ),
                          ),
                      ),
                  ),
              )
            : h('p', {class: 'quiet-words'}, 'Rolls are here once the job is planned.'),
    );
}

/** @param {any} cost */
const priceWords = cost =>
    !cost.quoted
        ? 'price'
        : cost.vehicles > 1
          ? `price for ${plural(cost.vehicles, 'vehicle')}, without tax`
          : 'price as quoted, without tax';

/** @param {HTMLElement} container @param {JobModel} model */
export function drawCost(container, model) {
    const cost = model.plan?.cost;
    if (!cost)
        return fill(container, h('p', {class: 'quiet-words'}, 'The price is here once the job is planned.'));
    const line = (what, amount, taken) =>
        h(
            'tr',
            null,
            h('th', {scope: 'row'}, what),
            h('td', null, taken ? hours(taken) : ''),
            h('td', {class: 'amount'}, money(amount, cost.currency)),
        );
    fill(
        container,
        h(
            'table',
            null,
            h(
                'tbody',
                null,
                cost.lines.map(one =>
                    line(one.missing ? `${one.what} (without what has no price)` : one.what, one.cost, one.hours),
                ),
                line('cost', cost.total, 0),
                line(priceWords(cost), cost.asked, 0),
                cost.without?.length > 0 &&
                    h('tr', null, h('td', {colspan: 3}, `Cost and price are without ${cost.without.join(', ')}.`)),
            ),
        ),
    );
}
