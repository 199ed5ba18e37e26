// What has a shape on a surface: the region that is covered, with the line where it begins, and pieces in their places with the
// line along which they are cut. Line and pieces are dragged, or moved with the arrow keys, and kept when they are right.

import {h, s} from './dom.js';
import {follow, pointOn} from './pointer.js';
import {figureOf, number} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */
/** @typedef {import('./words.js').Units} Units */

const ARROWS = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowDown: [0, -1], ArrowUp: [0, 1]};

/** What is moved of it, and where it is written. @param {any} surface */
const movable = surface =>
    surface.host
        ? {path: surface.path && `${surface.path}.at`, at: surface.at_mm}
        : {path: surface.cover_line?.path, at: [surface.cover_line?.at_mm]};

/** Where it stands by now. @param {JobModel} model @param {any} surface @returns {number[]} */
export const placeNow = (model, surface) =>
    model.moved?.surface === surface.name ? model.moved.at : movable(surface).at;

/** @param {JobModel} model @param {any} surface */
const isChosen = (model, surface) => model.chosen?.kind === 'shape' && model.chosen.surface === surface.name;

/** A piece, or a panel of it. @param {JobModel} model @param {any} piece */
const isShown = (model, piece) => isChosen(model, piece) || (model.chosen?.kind === 'panel' && model.chosen.surface === piece.name);

/** Whether a hand may move it: what lies on the other side follows its twin. @param {JobModel} model @param {any} surface */
const mayMove = (model, surface) => Boolean(model.mayChange && movable(surface).path);

/** @param {JobModel} model @param {any} surface @param {number[]} at */
const move = (model, surface, at) => model.moveShape(surface.name, movable(surface).path, at);

/**
 * What a hand and a key do to it.
 * @param {JobModel} model @param {any} surface @param {Units} units
 * @param {(at: number[], by: [number, number]) => number[]} moved where it comes to lie
 */
function acts(model, surface, units, moved) {
    const may = mayMove(model, surface);
    const choose = () =>
        !isChosen(model, surface) && model.choose({kind: 'shape', surface: surface.name, id: surface.name});
    const drag = event => {
        const frame = surface.host ?? surface.name,
            from = pointOn(frame, event),
            at = placeNow(model, surface);
        event.currentTarget.focus({preventScroll: true});
        follow(event, later => {
            const to = pointOn(frame, later);
            move(model, surface, moved(at, [to.x - from.x, to.y - from.y]));
        });
    };
    const key = event => {
        if (event.key === 'Escape') return model.putBack();
        const by = ARROWS[event.key],
            step = event.shiftKey ? units.steps.coarse : units.steps.fine;
        if (!by || !may) return;
        event.preventDefault();
        move(model, surface, moved(placeNow(model, surface), [by[0] * step, by[1] * step]));
    };
    return {tabindex: 0, 'data-focus': `shape-${surface.name}`, onfocus: choose, onkeydown: key, onpointerdown: may && drag};
}

/* ---- the covered region ---- */

/**
 * The edge of what is covered, and where one number says it the line that can be moved.
 * @param {JobModel} model @param {any} surface @param {Units} units
 */
export function coverShapes(model, surface, units) {
    if (!surface.covered) return null;
    return [
        surface.edge && s('path', {class: 'cover-ground', d: surface.edge}),
        surface.edge && s('path', {class: 'cover-edge', d: surface.edge}),
        surface.cut && s('path', {class: 'cut-line', d: surface.cut}),
        surface.cover_line && coverLine(model, surface, units),
    ];
}

/** @param {JobModel} model @param {any} surface @param {Units} units */
function coverLine(model, surface, units) {
    const {upright} = surface.cover_line,
        [at] = placeNow(model, surface),
        most = upright ? surface.width_mm : surface.height_mm;
    const line = upright
        ? {x1: at, x2: at, y1: 0, y2: surface.height_mm}
        : {x1: 0, x2: surface.width_mm, y1: at, y2: at};
    const moved = ([from], by) => [Math.min(Math.max(Math.round(from + by[upright ? 0 : 1]), 0), most)];
    return s(
        'g',
        {
            class: `cover-line${isChosen(model, surface) ? ' chosen' : ''}`,
            role: 'slider',
            'aria-label': `Where the covered part of ${surface.name} begins`,
            'aria-valuemin': 0,
            'aria-valuemax': most,
            'aria-valuenow': at,
            'aria-valuetext': units.length(at),
            'aria-orientation': upright ? 'horizontal' : 'vertical',
            ...acts(model, surface, units, moved),
        },
        s('line', {class: 'reach', ...line}),
        s('line', {class: 'line', ...line}),
    );
}

/* ---- pieces ---- */

/**
 * A piece in the frame of what it lies on. `artwork` is its picture.
 * @param {JobModel} model @param {any} piece @param {import('./dom.js').Child} artwork @param {Units} units
 */
export function pieceShape(model, piece, artwork, units) {
    const [x, y] = placeNow(model, piece),
        may = mayMove(model, piece);
    const moved = (at, by) => [Math.round(at[0] + by[0]), Math.round(at[1] + by[1])];
    return s(
        'g',
        {
            class: `piece${isShown(model, piece) ? ' chosen' : ''}${may ? ' free' : ''}`,
            transform: `translate(${x - piece.at_mm[0]} ${y - piece.at_mm[1]})`,
            role: 'button',
            'aria-label': `Piece ${piece.name} at ${units.length(x)}, ${units.length(y)}${may ? ': the arrow keys move it' : ''}`,
            'data-piece': piece.name,
            ...acts(model, piece, units, moved),
        },
        artwork,
        s('path', {class: 'piece-ground', d: piece.cut ?? piece.covered}),
        s('path', {class: 'cut-ground', d: piece.cut ?? piece.covered}),
        s('path', {class: 'cut-line', d: piece.cut ?? piece.covered}),
    );
}

/* ---- what is chosen ---- */

/** A number of the place, to be typed. @param {string} words @param {number} mm @param {Units} units @param {(mm: number) => void} put @param {string} focus */
function placeField(words, mm, units, put, focus) {
    const typed = ({target}) => {
        const value = figureOf(target);
        if (!target.reportValidity() || Number.isNaN(value)) return;
        target.defaultValue = target.value;
        put(Math.round(units.toMm(value) * 10) / 10);
    };
    return h(
        'label',
        {class: 'place-figure'},
        h('span', null, words),
        h('input', {inputmode: 'decimal', autocomplete: 'off', value: units.typed(mm), 'data-focus': focus, onchange: typed}),
    );
}

/** @param {JobModel} model @param {any} surface @param {Units} units */
function figures(model, surface, units) {
    const at = placeNow(model, surface);
    if (!mayMove(model, surface))
        return surface.host
            ? h('span', {class: 'quiet-words'}, 'Where it lies is written with the piece on the other side, or in another file.')
            : null;
    const unit = units.inches ? 'inches' : 'mm';
    const names = surface.host ? [`From the left, ${unit}`, `Up, ${unit}`] : [`Begins at, ${unit}`];
    return names.map((words, i) =>
        placeField(
            words,
            at[i],
            units,
            mm => move(model, surface, at.map((old, k) => (k === i ? mm : old))),
            `shape-figure-${i}`,
        ),
    );
}

/** Size, cut and copies as planned. @param {any} surface as the job has it @param {any} planned @param {Units} units */
function shapeFacts(surface, planned, units) {
    const [x0, y0, x1, y1] = surface.box_mm ?? [0, 0, surface.width_mm, surface.height_mm];
    const fact = (name, words) => h('div', null, h('dt', null, name), h('dd', null, words));
    return h(
        'dl',
        {class: 'facts'},
        fact('Size', units.size(x1 - x0, y1 - y0)),
        planned?.cut_length_mm && fact('Cut', `${number(planned.cut_length_mm / 1000, 1)} m${planned.cut_depth === 'through' ? ', through the liner' : ''}`),
        planned?.count > 1 && fact('Copies', String(planned.count)),
        planned && fact('Area', units.area(planned.area_m2)),
        planned?.panels.length > 1 && fact('Panels', String(planned.panels.length)),
    );
}

/**
 * The strip below the picture for a piece or a covered region.
 * @param {JobModel} model @param {any} surface as the job has it @param {any} planned @param {Units} units
 */
export function chosenShape(model, surface, planned, units) {
    return [
        h(
            'div',
            {class: 'chosen-head'},
            h('h3', null, surface.host ? `Piece ${surface.name}` : `Covered part of ${surface.name}`),
            figures(model, surface, units),
        ),
        shapeFacts(surface, planned, units),
    ];
}

/** While something is moved: kept, or put back. @param {JobModel} model @param {() => void} keep */
export function movedActions(model, keep) {
    if (!model.moved) return null;
    return h(
        'p',
        {class: 'actions trial'},
        h('span', null, `${model.moved.surface} is moved.`),
        h('button', {class: 'main', 'data-focus': 'keep', onclick: keep}, 'Keep'),
        h('button', {'data-focus': 'put-back', onclick: () => model.putBack()}, 'Put back'),
    );
}
