// Moving a seam: dragged, or with the arrow keys (1 mm, with shift 10 mm; in inches 1/16 and 1/2). It snaps to door gaps. What follows
// from it the planner says.

import {s} from './dom.js';
import {seamPlaces} from './job-model.js';
import {follow, pointOn} from './pointer.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */
/**
 * @typedef {object} Seam what is drawn of one seam
 * @property {any} surface as the job has it @property {number} index @property {number} at_mm
 * @property {any[]} parts its entries in the plan @property {boolean} upright
 */

/** A dragged seam jumps into a door gap that is nearer than this, pixels. */
const SNAP = 8;
/** From the end of a seam to the middle of its grip, pixels. */
const GRIP = 17;

/**
 * Where door gaps run alongside a seam, millimetres along its axis.
 * @param {any[]} features
 * @param {boolean} upright
 */
export function gapPlaces(features, upright) {
    return features
        .filter(feature => feature.line_mm)
        .flatMap(({line_mm: [x1, y1, x2, y2]}) => {
            const [across, along] = upright
                ? [Math.abs(x1 - x2), Math.abs(y1 - y2)]
                : [Math.abs(y1 - y2), Math.abs(x1 - x2)];
            return across * 20 < along ? [upright ? (x1 + x2) / 2 : (y1 + y2) / 2] : [];
        });
}

/** @param {number} at_mm @param {number[]} gaps @param {number} reach_mm */
export const snapped = (at_mm, gaps, reach_mm) =>
    gaps.find(gap => Math.abs(gap - at_mm) <= reach_mm) ?? Math.round(at_mm);

/** @param {KeyboardEvent} event @param {import('./words.js').Units} units @returns {number} millimetres to move; 0: another key */
function step(event, units) {
    const direction = {ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1}[event.key] ?? 0;
    return direction * (event.shiftKey ? units.steps.coarse : units.steps.fine);
}

/** The grip at a seam's foot: large enough for a finger. @param {boolean} upright */
const grip = upright => [
    s('rect', {class: 'grip-reach', x: -24, y: -16, width: 48, height: 48}),
    s('rect', {class: 'grip', x: -13, y: -13, width: 26, height: 26, rx: 4}),
    s('path', {
        class: 'grip-arrows',
        d: 'M-3-5-8 0-3 5M3-5 8 0 3 5',
        transform: upright ? null : 'rotate(90)',
    }),
];

/** What a hand or a key does to it. @param {JobModel} model @param {Seam} seam @param {number} scale @param {import('./words.js').Units} units */
function acts(model, {surface, index, at_mm, upright}, scale, units) {
    const gaps = gapPlaces(surface.features, upright);
    const chosen =
        model.chosen?.kind === 'seam' && model.chosen.surface === surface.name && model.chosen.id === index;
    const choose = () => !chosen && model.choose({kind: 'seam', surface: surface.name, id: index});
    const move = event => {
        const point = pointOn(surface.name, event);
        model.move(surface.name, index, snapped(upright ? point.x : point.y, gaps, SNAP / scale));
    };
    const key = event => {
        const by = step(event, units);
        if (event.key === 'Escape') model.putBack();
        if (!by || surface.host) return;
        event.preventDefault();
        // Keys may come faster than the picture is drawn: what counts is where the seam stands by now.
        model.move(
            surface.name,
            index,
            (model.trial?.surface === surface.name ? model.trial.seams[index] : at_mm) + by,
        );
    };
    return {
        chosen,
        handlers: {
            onkeydown: key,
            onfocus: choose,
            onpointerdown: event => (
                event.currentTarget.focus({preventScroll: true}), surface.host || follow(event, move)
            ),
        },
    };
}

/**
 * Both ends of the line, and the grip's middle, in pixels.
 * @param {Seam} seam
 * @param {import('./picture-layout.js').Place} place
 * @param {number} scale
 */
function ends({surface, at_mm, parts, upright}, place, scale) {
    const from = Math.min(...parts.map(part => part.from_mm)),
        to = Math.max(...parts.map(part => part.to_mm));
    const x = mm => place.x + mm * scale,
        y = mm => place.y + (surface.height_mm - mm) * scale;
    return upright
        ? {x1: x(at_mm), y1: y(from), x2: x(at_mm), y2: y(to), grip: [x(at_mm), y(0) + GRIP]}
        : {x1: x(from), y1: y(at_mm), x2: x(to), y2: y(at_mm), grip: [x(surface.width_mm) - 2, y(at_mm)]};
}

/** @param {Seam} seam @param {import('./words.js').Units} units @param {boolean} moves */
function spoken({surface, index, at_mm, parts, upright}, units, moves) {
    const gap = parts[0].kind === 'gap';
    const common = {
        tabindex: 0,
        'data-focus': `seam-${surface.name}-${index}`,
        'aria-label': `${gap ? 'Seam in a door gap' : 'Seam'} between ${parts[0].between.join(' and ')}`,
    };
    if (!moves) return {...common, role: 'button'};
    return {
        ...common,
        role: 'slider',
        'aria-valuemin': 0,
        'aria-valuemax': upright ? surface.width_mm : surface.height_mm,
        'aria-valuenow': at_mm,
        'aria-valuetext': units.length(at_mm),
        'aria-orientation': upright ? 'horizontal' : 'vertical',
    };
}

/**
 * @param {JobModel} model
 * @param {Seam} seam
 * @param {import('./picture-layout.js').Place} place
 * @param {number} scale
 * @param {import('./words.js').Units} units
 */
function handle(model, seam, place, scale, units) {
    const {chosen, handlers} = acts(model, seam, scale, units),
        {
            grip: [gx, gy],
            ...line
        } = ends(seam, place, scale);
    const moves = model.mayChange && !seam.surface.host; /* a piece's are the planner's */
    const crosses = seam.parts.some(part => part.crosses.length),
        gap = seam.parts[0].kind === 'gap';
    return s(
        'g',
        {
            class: `seam${chosen ? ' chosen' : ''}${gap ? ' in-gap' : ''}${crosses ? ' crosses' : ''}`,
            ...spoken(seam, units, moves),
            ...handlers,
        },
        s('line', {class: 'seam-reach', ...line}),
        s('line', {class: 'seam-edge', ...line}),
        s('line', {class: 'seam-line', ...line}),
        moves && s('g', {transform: `translate(${gx} ${gy})`}, grip(seam.upright)),
    );
}

/**
 * All seams of a surface, with their grips.
 * @param {JobModel} model @param {any} surface as the job has it @param {any} planned
 * @param {import('./picture-layout.js').Place} place @param {number} scale pixels a millimetre @param {import('./words.js').Units} units
 */
export function seamHandles(model, surface, planned, place, scale, units) {
    const known = seamPlaces(planned);
    return model.places(planned).map((at_mm, index) => {
        const parts = planned.seams.filter(seam => seam.at_mm === known[index]);
        return (
            parts.length &&
            handle(model, {surface, index, at_mm, parts, upright: parts[0].axis === 'x'}, place, scale, units)
        );
    });
}
