// What the lines of the picture mean, for jobs in which something has a shape.

import {h, s} from './dom.js';

/** Room that it takes below the picture, pixels. */
export const LEGEND_PX = 32;

const LINES = [
    {words: 'seam', classes: ['seam-edge', 'seam-line'], there: model => planned(model, one => one.seams.some(seam => seam.kind === 'lap'))},
    {words: 'door gap', classes: ['gap-ground', 'feature gap'], there: model => written(model, one => one.features.some(f => f.line_mm))},
    {words: 'cut line', classes: ['cut-ground', 'cut-line'], there: model => written(model, one => one.cut || one.host)},
    {words: 'edge of the cover', classes: ['cover-ground', 'cover-edge'], there: model => written(model, one => one.edge && !one.host)},
];

/** @param {import('./job-model.js').JobModel} model @param {(surface: any) => unknown} holds */
const written = (model, holds) => (model.data.surfaces ?? []).some(holds);

/** @param {import('./job-model.js').JobModel} model @param {(surface: any) => unknown} holds */
const planned = (model, holds) => model.surfaces.some(holds);

/** Null where all is a plain surface. @param {import('./job-model.js').JobModel} model */
export function legend(model) {
    if (!written(model, one => one.host || one.covered)) return null;
    return h(
        'ul',
        {class: 'legend'},
        LINES.filter(line => line.there(model)).map(({words, classes}) =>
            h(
                'li',
                null,
                s(
                    'svg',
                    {width: 44, height: 12, 'aria-hidden': 'true'},
                    classes.map(name => s('path', {class: name, d: 'M0 6H44'})),
                ),
                words,
            ),
        ),
    );
}
