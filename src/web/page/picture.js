// The vehicle is the picture: surfaces to one scale, artwork in them, panels numbered in install order, seams
// as lines with the band that lies beneath.

import {fill, freshId, h, s} from './dom.js';
import {drawn} from './features.js';
import {layOut} from './picture-layout.js';
import {LEGEND_PX, legend} from './picture-legend.js';
import {follow, pointOn} from './pointer.js';
import {seamHandles} from './seam.js';
import {coverShapes, pieceShape} from './shapes.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */
/** @typedef {[number, number, number, number]} Box x0, y0, x1, y1 in millimetres, y up */

/** @param {Box} box @param {Record<string, unknown>} attributes */
export const boxShape = ([x0, y0, x1, y1], attributes) =>
    s('rect', {x: x0, y: y0, width: Math.max(0, x1 - x0), height: Math.max(0, y1 - y0), ...attributes});

/**
 * Diagonal lines, for what is hidden or not covered.
 * @param {string} id
 * @param {number} scale pixels a millimetre
 * @param {string} kind
 */
const hatch = (id, scale, kind) =>
    s(
        'pattern',
        {
            id,
            width: 8 / scale,
            height: 8 / scale,
            patternUnits: 'userSpaceOnUse',
            patternTransform: 'rotate(45)',
        },
        s('rect', {width: 8 / scale, height: 8 / scale, class: `${kind}-ground`}),
        s('rect', {width: 3 / scale, height: 8 / scale, class: `${kind}-line`}),
    );

/** @param {any} feature @param {string} openingFill */
export function featureShape(feature, openingFill) {
    if (feature.line_mm) {
        const [x1, y1, x2, y2] = feature.line_mm;
        return [
            s('line', {x1, y1, x2, y2, class: 'gap-ground'}),
            s('line', {x1, y1, x2, y2, class: 'feature gap'}, s('title', null, feature.name ?? feature.kind)),
        ];
    }
    const cover = feature.kind === 'opening' ? {fill: openingFill} : {};
    return boxShape(feature.box_mm, {class: `feature ${feature.kind}`, ...cover});
}

/** Artwork, cut to the outline. @param {any} surface @param {string} clip */
function artwork(surface, clip) {
    if (!surface.preview) return null;
    const [x0, y0, x1, y1] = surface.preview_mm;
    return s(
        'g',
        {'clip-path': `url(#${clip})`},
        s('image', {
            href: surface.preview,
            x: x0,
            y: -y1,
            width: x1 - x0,
            height: y1 - y0,
            transform: 'scale(1 -1)',
            preserveAspectRatio: 'none',
        }),
    );
}

/**
 * The band of a seam that is printed on the panel beneath and not seen.
 * @param {any} seam
 * @param {any} surface
 * @param {string} hidden
 */
function hiddenBand(seam, surface, hidden) {
    if (seam.kind !== 'lap') return null;
    const [over, under] = [seam.over, seam.under].map(id => surface.panels.find(panel => panel.id === id));
    const axis = seam.axis === 'x' ? 0 : 1;
    const direction = over.visible_mm[axis] < under.visible_mm[axis] ? -1 : 1;
    const ends = [seam.at_mm, seam.at_mm + direction * seam.overlap_mm].sort((a, b) => a - b);
    const box =
        axis === 0
            ? [ends[0], seam.from_mm, ends[1], seam.to_mm]
            : [seam.from_mm, ends[0], seam.to_mm, ends[1]];
    return boxShape(/** @type {Box} */ (box), {class: 'band', fill: `url(#${hidden})`});
}

/** @param {any} panel @param {any} surface @param {JobModel} model */
function panelShape(panel, surface, model) {
    const chosen = model.chosen?.kind === 'panel' && model.chosen.id === panel.id;
    const choose = () => model.choose(chosen ? null : {kind: 'panel', surface: surface.name, id: panel.id});
    return boxShape(panel.visible_mm, {
        class: chosen ? 'panel chosen' : 'panel',
        onclick: choose,
        'data-panel': panel.id,
    });
}

/**
 * Install number in its panel.
 * @param {any} panel
 * @param {any} state
 * @param {import('./picture-layout.js').Place} place
 * @param {any} surface
 * @param {number} scale
 */
function badge(panel, state, place, surface, scale) {
    const [x0, y0, x1, y1] = panel.visible_mm;
    const radius = Math.min(15, Math.max(8, Math.min(x1 - x0, y1 - y0) * scale * 0.3));
    const x = place.x + ((x0 + x1) / 2) * scale,
        y = place.y + (surface.height_mm - (y0 + y1) / 2) * scale;
    const kind = state?.damaged ? 'badge damaged' : state?.installed ? 'badge installed' : 'badge';
    return s(
        'g',
        {class: kind, transform: `translate(${x} ${y})`},
        s('circle', {r: radius}),
        s(
            'text',
            {'text-anchor': 'middle', dy: '0.36em', 'font-size': radius * (panel.order > 9 ? 0.9 : 1.1)},
            panel.order,
        ),
    );
}

/** The box that a chosen finding speaks of. @param {JobModel} model @param {any} surface */
function findingBox(model, surface) {
    if (model.chosen?.kind !== 'finding' || model.chosen.surface !== surface.name) return null;
    const finding = model.findings[Number(model.chosen.id)];
    return finding?.box_mm && boxShape(finding.box_mm, {class: `finding-box ${finding.severity}`});
}

/** An outline being drawn, a corner at each touch. @param {JobModel} model @param {any} surface */
function cornersSketch(model, surface) {
    const {numbers} = model.draft;
    const add = event => {
        const {x, y} = pointOn(surface.name, event);
        event.preventDefault();
        model.sketch([...numbers, Math.round(x), Math.round(y)]);
    };
    const pairs = numbers.flatMap((x, i) => (i % 2 ? [] : [[x, numbers[i + 1]]])),
        whole = numbers.length % 2 === 0 && numbers.every(Number.isFinite);
    return [
        whole && pairs.length > 0 && s('polygon', {class: 'sketch', points: pairs.join(' ')}),
        whole && pairs.map(([x, y]) => s('path', {class: 'corner', d: `M${x} ${y}h0`})),
        boxShape([0, 0, surface.width_mm, surface.height_mm], {class: 'drawing-sheet', onpointerdown: add}),
    ];
}

/**
 * The feature being drawn, and the sheet on which it is drawn.
 * @param {JobModel} model
 * @param {any} surface
 */
function sketch(model, surface) {
    const {draft} = model;
    if (draft?.surface !== surface.name) return null;
    const [a, b, c, d] = draft.numbers,
        whole = draft.numbers.length === 4 && draft.numbers.every(Number.isFinite);
    if (draft.form === 'points') return cornersSketch(model, surface);
    const start = event => {
        const from = pointOn(surface.name, event);
        follow(event, later => model.sketch(drawn(draft.form, from, pointOn(surface.name, later))));
    };
    return [
        whole &&
            (draft.form === 'line'
                ? s('line', {class: 'sketch', x1: a, y1: b, x2: c, y2: d})
                : boxShape([a, b, a + c, b + d], {class: 'sketch'})),
        boxShape([0, 0, surface.width_mm, surface.height_mm], {class: 'drawing-sheet', onpointerdown: start}),
    ];
}

/**
 * @param {JobModel} model
 * @param {any} surface as the job has it
 * @param {any} planned may be undefined
 * @param {number} scale
 * @param {import('./words.js').Units} units
 */
function surfaceShapes(model, surface, planned, scale, units) {
    const [clip, opening, hidden] = [freshId('clip'), freshId('opening'), freshId('hidden')];
    const panels = [...(planned?.panels ?? [])].sort((a, b) => a.order - b.order);
    return [
        s(
            'defs',
            null,
            s('clipPath', {id: clip}, s('path', {d: surface.outline})),
            hatch(opening, scale, 'opening'),
            hatch(hidden, scale, 'hidden'),
        ),
        s('path', {class: 'body', d: surface.outline}),
        artwork(surface, clip),
        s(
            'g',
            {'clip-path': `url(#${clip})`},
            panels.map(panel => panelShape(panel, planned, model)),
            planned?.seams.map(seam => hiddenBand(seam, planned, hidden)),
            surface.features.map(feature => featureShape(feature, `url(#${opening})`)),
        ),
        s('path', {class: 'outline', d: surface.outline}),
        coverShapes(model, surface, units),
        pieces(model, surface, units),
        findingBox(model, surface),
        sketch(model, surface),
    ];
}

/** What lies on it, cut to its own shape. @param {JobModel} model @param {any} host @param {import('./words.js').Units} units */
const pieces = (model, host, units) =>
    model.piecesOn(host.name).map(piece => {
        const clip = freshId('clip');
        const picture = [
            s('defs', null, s('clipPath', {id: clip}, s('path', {d: piece.covered}))),
            artwork(piece, clip),
        ];
        return [pieceShape(model, piece, picture, units), findingBox(model, piece)];
    });

const ARROWS = {
    left: '\u2190 front',
    right: 'front \u2192',
    up: '\u2191 front',
    down: '\u2193 front',
    away: 'rear face',
    towards: 'front face',
};

/**
 * @param {any} surface
 * @param {import('./picture-layout.js').Place} place
 * @param {import('./words.js').Units} units
 * @param {number} scale
 */
function heading(surface, place, units, scale) {
    const wide = surface.width_mm * scale > 300;
    return s(
        'text',
        {class: 'heading', x: place.x, y: place.y - 10},
        s('tspan', {class: 'name'}, surface.name),
        s('tspan', {dx: 10}, ARROWS[surface.front] ?? ''),
        wide && s('tspan', {dx: 10}, units.size(surface.width_mm, surface.height_mm)),
    );
}

/** Seams of a piece, which the planner places. @param {JobModel} model @param {any} piece @param {import('./picture-layout.js').Place} place @param {number} scale @param {import('./words.js').Units} units */
function pieceSeams(model, piece, place, scale, units) {
    const planned = model.surface(piece.name);
    if (!planned?.seams.length || model.moved?.surface === piece.name) return null;
    return seamHandles(model, piece, planned, place, scale, units);
}

/** @param {HTMLElement} container @param {JobModel} model @param {import('./words.js').Units} units */
export function drawPicture(container, model, units) {
    const surfaces = model.hosts;
    if (!surfaces.length)
        return fill(
            container,
            h(
                'p',
                {class: 'empty'},
                model.data.planning
                    ? 'The job is being planned; its picture comes with the plan.'
                    : 'No surface can be drawn yet. Add one below, or name the vehicle\u2019s file.',
            ),
        );
    const free =
        container.clientHeight > 200 &&
        getComputedStyle(container).getPropertyValue('--picture-fits').trim() === '1';
    const lines = legend(model);
    const {scale, width, height, places} = layOut(
        surfaces,
        container.clientWidth || 800,
        free ? container.clientHeight - (lines ? LEGEND_PX : 0) : null,
    );
    const states = new Map((model.data.panels ?? []).map(panel => [panel.panel, panel.state]));
    const groups = surfaces.map(surface => {
        const place = places.get(surface.name),
            planned = model.surface(surface.name);
        const frame = s(
            'g',
            {
                transform: `translate(${place.x} ${place.y + surface.height_mm * scale}) scale(${scale} ${-scale})`,
                'data-surface': surface.name,
            },
            surfaceShapes(model, surface, planned, scale, units),
        );
        return s(
            'g',
            null,
            heading(surface, place, units, scale),
            frame,
            planned?.panels.map(panel => badge(panel, states.get(panel.id), place, surface, scale)),
            planned && seamHandles(model, surface, planned, place, scale, units),
            model.piecesOn(surface.name).map(piece => pieceSeams(model, piece, place, scale, units)),
        );
    });
    fill(
        container,
        s(
            'svg',
            {
                class: 'picture',
                width,
                height,
                viewBox: `0 0 ${width} ${height}`,
                role: 'group',
                'aria-label': 'Surfaces with panels, pieces and seams. Seams and pieces can be moved with the arrow keys.',
            },
            groups,
        ),
        lines,
    );
}
