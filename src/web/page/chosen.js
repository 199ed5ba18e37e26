// What was touched in the picture: a seam with what moving it does, or a panel.

import {printAgain} from './again.js';
import {fill, h} from './dom.js';
import {panelAddress} from './floor.js';
import {seamPlaces} from './job-model.js';
import {mark} from './severity.js';
import {chosenShape, movedActions} from './shapes.js';
import {figureOf, hours, listed, money, number, percent} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */
/** @typedef {import('./words.js').Units} Units */
/**
 * @typedef {{keep: () => void, free: (surface: string) => void, turn: (index: number, over: 'left' | 'right' | 'upper' | 'lower') => void, again: (panel: string, id: string) => void}}
 *   Acts keep the seams tried; leave them to the planner again; let the other panel lie over; print a panel again
 */

/** A fact with its name. @param {string} name @param {...import('./dom.js').Child} words */
const fact = (name, ...words) => h('div', null, h('dt', null, name), h('dd', null, words));

/**
 * Widths of both panels across the seam.
 * @param {any} surface
 * @param {any} part
 * @param {Units} units
 * @param {any} before the surface as written
 */
function widths(surface, part, units, before) {
    const axis = part.axis === 'x' ? 0 : 1;
    const size = (of, id) => {
        const panel = of?.panels.find(one => one.id === id);
        return panel ? panel.visible_mm[axis + 2] - panel.visible_mm[axis] : NaN;
    };
    return part.between.map(id => {
        const now = size(surface, id),
            was = size(before, id);
        return fact(
            id,
            units.length(now),
            Math.abs(now - was) >= 0.5 && h('span', {class: 'quiet-words'}, ` was ${units.length(was)}`),
        );
    });
}

/**
 * What the seam runs through; a place to look at before keeping it.
 * @param {JobModel} model
 * @param {any[]} parts
 */
function crossing(model, parts) {
    if (model.impossible) return mark('stop', 'cannot be made like this: see the findings');
    const crosses = [...new Set(parts.flatMap(part => part.crosses))];
    return crosses.length ? mark('warn', `crosses ${listed(crosses)}`) : mark('done', 'crosses nothing');
}

/** Price of all the job with these seams. @param {JobModel} model */
function price(model) {
    const {plan, tried} = model;
    if (!tried) return fact('Price', money(plan.cost.asked, plan.cost.currency));
    return fact('Price', tried.price, ' ', h('span', {class: 'quiet-words'}, tried.price_difference ?? 'cannot be made'));
}

/** @param {JobModel} model @param {any} surface @param {number} index @param {number} at_mm @param {Units} units */
function placeField(model, surface, index, at_mm, units) {
    if (!model.mayChange || model.pieceNamed(surface.name)) return null;
    const {fine, words} = units.steps;
    const move = by => () => model.move(surface.name, index, at_mm + by);
    const typed = ({target}) => {
        const value = figureOf(target);
        if (!target.reportValidity() || Number.isNaN(value)) return;
        target.defaultValue = target.value; /* the seam is there now: nothing is left to be kept */
        model.move(surface.name, index, units.toMm(value));
    };
    return h(
        'div',
        {class: 'stepper'},
        h('button', {'data-focus': 'seam-less', 'aria-label': `${words} less`, onclick: move(-fine)}, '-'),
        h(
            'label',
            null,
            h('span', {class: 'hidden-words'}, `Seam at, ${units.inches ? 'inches' : 'millimetres'}`),
            h('input', {
                inputmode: 'decimal',
                autocomplete: 'off',
                value: units.typed(at_mm),
                'data-focus': 'seam-at',
                onchange: typed,
            }),
        ),
        h('button', {'data-focus': 'seam-more', 'aria-label': `${words} more`, onclick: move(fine)}, '+'),
    );
}

/**
 * The side whose panel lies beneath now.
 * @param {any} surface @param {any} part @returns {'left' | 'right' | 'upper' | 'lower'}
 */
function otherOver(surface, part) {
    const axis = part.axis === 'x' ? 0 : 1,
        place = id => surface.panels.find(one => one.id === id)?.visible_mm[axis] ?? 0;
    const beyond = place(part.under) > place(part.over);
    return axis === 0 ? (beyond ? 'right' : 'left') : beyond ? 'upper' : 'lower';
}

/**
 * What can be done with a seam while none is tried.
 * @param {JobModel} model
 * @param {any} surface
 * @param {any} part
 * @param {number} index
 * @param {Acts} acts
 */
function choices(model, surface, part, index, acts) {
    if (model.trial || !model.mayChange || model.pieceNamed(surface.name)) return null;
    const other = part.over && otherOver(surface, part);
    const fixed = model.written.surfaces?.find?.(one => one.name === surface.name)?.seams;
    return [
        other && h('button', {onclick: () => acts.turn(index, other)}, `${part.under} over`),
        fixed && h('button', {onclick: () => acts.free(surface.name)}, 'Let the planner place them'),
    ];
}

/** @param {any} part @param {Units} units */
const lies = (part, units) =>
    [
        part.kind === 'gap' && `door gap${gapEnds(part, units)}: both turn in ${units.length(part.turn_in_mm)}`,
        part.over && `${part.over} over ${part.under}, ${units.length(part.overlap_mm)} beneath`,
    ]
        .filter(Boolean)
        .join('; else ');

/** Where a gap begins and ends that does not cover the seam. @param {any} part @param {Units} units */
const gapEnds = (part, units) =>
    part.over ? part.gap_mm.map(([from, to]) => ` ${units.length(from)} to ${units.length(to)}`).join(',') : '';

/** @param {JobModel} model @param {any} surface @param {any} part @param {Units} units */
function seamFacts(model, surface, part, units) {
    const written = [...model.plan.surfaces, ...model.plan.pieces ?? []].find(one => one.name === surface.name);
    const was =
        model.trial?.surface === surface.name &&
        written.seams.find(one => one.between.join() === part.between.join());
    const before = value => was && h('span', {class: 'quiet-words'}, ` was ${number(value, 2)}`);
    if (model.impossible) return null;
    return h(
        'dl',
        {class: 'facts'},
        widths(surface, part, units, written),
        price(model),
        fact('Visible', `detail ${number(part.detail, 2)}`, before(was?.detail)),
        fact('Seam costs', number(part.cost, 2), before(was?.cost)),
        fact('Lies', lies(part, units)),
    );
}

/**
 * @param {JobModel} model
 * @param {any} surface
 * @param {number} index
 * @param {Units} units
 * @param {Acts} acts
 */
function seam(model, surface, index, units, acts) {
    const at_mm = model.places(surface)[index],
        known = seamPlaces(surface),
        parts = surface.seams.filter(one => one.at_mm === known[index]);
    if (!parts.length || at_mm === undefined) return hint(model, units);
    return [
        h(
            'div',
            {class: 'chosen-head'},
            h('h3', null, `Seam ${parts[0].between.join(' | ')}`),
            placeField(model, surface, index, at_mm, units),
            crossing(model, parts),
            choices(model, surface, parts[0], index, acts),
        ),
        seamFacts(model, surface, parts[0], units),
        !model.impossible && h('p', {class: 'quiet-words'}, parts[0].why),
    ];
}

/** @param {JobModel} model @param {any} surface @param {any} panel @param {Units} units @param {Acts} acts */
function panel(model, surface, panel, units, acts) {
    const [x0, y0, x1, y1] = panel.visible_mm,
        [px0, py0, px1, py1] = panel.print_mm;
    const ink = Object.entries(panel.coverage?.ink_ml ?? {})
        .map(([channel, ml]) => `${channel} ${number(ml, 1)}`)
        .join(' ');
    return [
        h(
            'div',
            {class: 'chosen-head'},
            h('h3', null, `Panel ${panel.id}`),
            h('span', null, `No. ${panel.order} on ${surface.name}`),
            h('a', {class: 'button', href: panelAddress(model.job, panel.id)}, 'Its page'),
        ),
        h(
            'dl',
            {class: 'facts'},
            fact('Visible', units.size(x1 - x0, y1 - y0)),
            fact('Printed', units.size(px1 - px0, py1 - py0)),
            fact('Area', units.area(panel.area_m2)),
            panel.coverage &&
                fact(
                    'Ink',
                    `${percent(panel.coverage.mean_percent)}, at most ${percent(panel.coverage.peak_percent)}`,
                ),
            ink && fact('Ink, ml', ink),
            fact('Dries', panel.dry_h === null ? 'does not dry this way' : hours(panel.dry_h)),
            fact(
                'Stretch',
                `${percent(panel.stretch_percent, 1)}, in places ${percent(panel.stretch_local_percent ?? panel.stretch_percent, 1)}`,
            ),
        ),
        printAgain(model, surface, panel, acts.again),
    ];
}

/**
 * Whatever is chosen meanwhile, seams that are tried can be kept or put back.
 * @param {JobModel} model
 * @param {Acts} acts
 */
const trial = (model, acts) =>
    model.trial &&
    h(
        'p',
        {class: 'actions trial'},
        h('span', null, `Other seams are tried on ${model.trial.surface}.`),
        h(
            'button',
            {
                class: 'main',
                'data-focus': 'keep',
                onclick: acts.keep,
                disabled: !model.trial.answer || model.impossible,
            },
            'Keep',
        ),
        h('button', {'data-focus': 'put-back', onclick: () => model.putBack()}, 'Put back'),
    );

/**
 * Surfaces whose seams were fixed by hand where none can be: the way out.
 * @param {JobModel} model
 * @param {Acts} acts
 */
const stuck = (model, acts) =>
    (model.plan?.surfaces ?? [])
        .filter(
            surface =>
                !surface.panels.length &&
                model.written.surfaces?.find?.(one => one.name === surface.name)?.seams,
        )
        .map(({name}) =>
            h(
                'p',
                {class: 'actions'},
                mark('stop', `The seams written for ${name} cannot be.`),
                model.mayChange &&
                    h('button', {onclick: () => acts.free(name)}, 'Let the planner place them'),
            ),
        );

/** @param {JobModel} model @param {Units} units */
const hint = (model, units, pieces = model.data.surfaces?.some(one => one.host)) =>
    h(
        'p',
        {class: 'quiet-words'},
        model.plan
            ? `Touch a panel, ${pieces ? 'a piece, ' : ''}a seam or a finding.${model.mayChange ? ` A seam ${pieces ? 'or a piece ' : ''}can be dragged, or moved with the arrow keys: ${units.steps.words}, with shift ${units.steps.coarseWords}; Escape puts it back.` : ''}`
            : 'The picture shows the surfaces; panels and seams come with the plan.',
    );

/** @param {HTMLElement} container @param {JobModel} model @param {Units} units @param {Acts} acts */
export function drawChosen(container, model, units, acts) {
    const {chosen} = model,
        surface = chosen && model.surface(chosen.surface),
        shape = chosen?.kind === 'shape' && model.data.surfaces?.find(one => one.name === chosen.surface);
    if (shape)
        return fill(container, movedActions(model, acts.keep), chosenShape(model, shape, surface, units));
    if (surface && chosen.kind === 'seam')
        return fill(container, trial(model, acts), seam(model, surface, Number(chosen.id), units, acts));
    const found = chosen?.kind === 'panel' && surface?.panels.find(one => one.id === chosen.id);
    fill(
        container,
        trial(model, acts),
        movedActions(model, acts.keep),
        stuck(model, acts),
        found ? panel(model, surface, found, units, acts) : hint(model, units),
    );
}
