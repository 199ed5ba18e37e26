// Planned against used, after the job.

import {fill, h, tableHead} from './dom.js';
import {hours, number, percent} from './words.js';

/** @typedef {import('./words.js').Units} Units */

/** @param {any} line @param {number | null} amount @param {Units} units */
function amountWords(line, amount, units) {
    if (amount === null) return '-';
    if (line.unit === 'mm') return units.run(amount);
    return line.unit === 'h' ? hours(amount) : `${number(amount, 1)}\u00a0ml`;
}

/** @param {any} line @param {Units} units */
function row(line, units) {
    const more = line.ratio === null ? '' : percent((line.ratio - 1) * 100);
    return h(
        'tr',
        null,
        h('th', {scope: 'row'}, [line.what, line.of].filter(Boolean).join(' ')),
        h('td', {class: 'amount', 'data-label': 'Planned'}, amountWords(line, line.planned, units)),
        h('td', {class: 'amount', 'data-label': 'Used'}, amountWords(line, line.used, units)),
        h('td', {class: 'amount', 'data-label': 'More'}, more),
    );
}

/**
 * @param {HTMLElement} container @param {any} answer of /api/jobs/JOB/used; null: it cannot be had
 * @param {Units} units
 */
export function drawUsed(container, answer, units) {
    const lines = answer?.jobs[0]?.lines ?? [];
    const known = lines.some(line => line.used !== null);
    fill(
        container,
        known
            ? h(
                  'table',
                  {class: 'cards'},
                  tableHead(['Of', 'Planned', 'Used', 'More']),
                  h(
                      'tbody',
                      null,
                      lines.map(line => row(line, units)),
                  ),
              )
            : h('p', {class: 'quiet-words'}, 'Planned against used is here once something is printed or put on record as used.'),
    );
}
