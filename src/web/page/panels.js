// The table of panels: order, sizes, ink, drying, how far each has come and what is next.

import {fill, h, tableHead} from './dom.js';
import {panelAddress} from './floor.js';
import {mark} from './severity.js';
import {hours, percent} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */

const HEADS = ['No.', 'Panel', 'Visible', 'Area', 'Ink', 'Dries', 'Stretch', 'Next', 'Page'];

/** @param {any} status of the panel in the answer, may be undefined @param {import('./words.js').Units} units */
function nextWords(status, units) {
    if (!status) return '';
    if (status.state.damaged) return mark('stop', 'damaged');
    if (status.length?.within === false)
        return mark('warn', `length is off by ${units.length(status.length.miss_mm, 1)}`);
    if (!status.next) return mark('done', 'done');
    const {step, open, from} = status.next;
    return open || !from ? h('strong', null, `${step} now`) : `${step} from ${from.words}`;
}

/**
 * @param {JobModel} model
 * @param {any} surface
 * @param {any} panel
 * @param {any} status
 * @param {import('./words.js').Units} units
 */
function row(model, surface, panel, status, units) {
    const [x0, y0, x1, y1] = panel.visible_mm;
    const chosen = model.chosen?.kind === 'panel' && model.chosen.id === panel.id;
    const choose = () => model.choose(chosen ? null : {kind: 'panel', surface: surface.name, id: panel.id});
    const cell = (label, ...children) => h('td', {'data-label': label}, children);
    return h(
        'tr',
        {class: chosen ? 'chosen' : null},
        cell('No.', panel.order),
        h(
            'th',
            {scope: 'row'},
            h(
                'button',
                {
                    class: 'link',
                    'aria-pressed': String(chosen),
                    'data-focus': `panel-${panel.id}`,
                    onclick: choose,
                },
                panel.id,
            ),
        ),
        cell('Visible', units.size(x1 - x0, y1 - y0)),
        cell('Area', units.area(panel.area_m2)),
        cell('Ink', panel.coverage ? percent(panel.coverage.mean_percent) : ''),
        cell('Dries', panel.dry_h === null ? 'does not dry' : hours(panel.dry_h, 0)),
        cell('Stretch', panel.stretch_percent ? percent(panel.stretch_percent, 1) : '-'),
        cell('Next', nextWords(status, units)),
        h(
            'td',
            null,
            status &&
                h(
                    'a',
                    {href: panelAddress(model.job, panel.id), class: 'open-panel'},
                    'open',
                    h('span', {class: 'hidden-words'}, ` ${panel.id}`),
                ),
        ),
    );
}

/** @param {HTMLElement} container @param {JobModel} model @param {import('./words.js').Units} units */
export function drawPanels(container, model, units) {
    const status = new Map((model.data.panels ?? []).map(panel => [panel.panel, panel]));
    const rows = model.surfaces.flatMap(surface =>
        [...surface.panels]
            .sort((a, b) => a.order - b.order)
            .map(panel => row(model, surface, panel, status.get(panel.id), units)),
    );
    fill(
        container,
        rows.length
            ? h(
                  'table',
                  {class: 'panels cards'},
                  tableHead(HEADS),
                  h('tbody', null, rows),
              )
            : h(
                  'p',
                  {class: 'quiet-words'},
                  model.plan
                      ? 'No panels: the findings say why.'
                      : 'Panels are here once the job is planned.',
              ),
    );
}
