// The pieces of a job as a list: what lies where, how large it is and how it is cut; one touch shows it in the picture.

import {h, tableHead} from './dom.js';
import {number} from './words.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */
/** @typedef {import('./words.js').Units} Units */

const HEADS = ['Piece', 'From the left, up', 'Size', 'Cut', 'Copies', ''];

/** @param {JobModel} model @param {any} piece @param {Units} units @param {import('./features.js').Save} save */
function row(model, piece, units, save) {
    const [x0, y0, x1, y1] = piece.box_mm,
        planned = model.surface(piece.name),
        chosen = model.chosen?.surface === piece.name;
    const cell = (label, ...children) => h('td', {'data-label': label}, children);
    const choose = () => model.choose(chosen ? null : {kind: 'shape', surface: piece.name, id: piece.name});
    const takeOut = () => save([[piece.path, '']], `${piece.name} is taken out`);
    return h(
        'tr',
        {class: chosen ? 'chosen' : null},
        h(
            'th',
            {scope: 'row'},
            h(
                'button',
                {
                    type: 'button',
                    class: 'link',
                    'aria-pressed': String(chosen),
                    'data-focus': `piece-${piece.name}`,
                    onclick: choose,
                },
                piece.name,
            ),
        ),
        cell('From the left, up', piece.at_mm.map(mm => units.length(mm)).join(', ')),
        cell('Size', units.size(x1 - x0, y1 - y0)),
        cell('Cut', planned?.cut_length_mm ? `${number(planned.cut_length_mm / 1000, 1)} m` : ''),
        cell('Copies', planned ? String(planned.count) : ''),
        h(
            'td',
            null,
            piece.path && h('button', {type: 'button', class: 'quiet', onclick: takeOut}, 'Take out'),
        ),
    );
}

/** Null without pieces. @param {JobModel} model @param {Units} units @param {import('./features.js').Save} save */
export function pieceList(model, units, save) {
    const pieces = model.hosts.flatMap(host => model.piecesOn(host.name));
    if (!pieces.length) return null;
    return h(
        'table',
        {class: 'pieces cards'},
        tableHead(HEADS),
        h('tbody', null, pieces.map(piece => row(model, piece, units, save))),
    );
}
