// Severity is a word and a shape first, and a colour second.

import {h, s} from './dom.js';
import {plural} from './words.js';

const SHAPES = {
    stop: 'M6 1h8l5 5v8l-5 5H6l-5-5V6z',
    warn: 'M10 1.5 19 18H1z',
    note: 'M10 2a8 8 0 1 0 0 16 8 8 0 0 0 0-16z',
    done: 'M2 10.5 4.5 8 8 11.5 15.5 4 18 6.5 8 16.5z',
};
/** From worst to least. */
export const SEVERITIES = ['stop', 'warn', 'note'];

/** @param {'stop' | 'warn' | 'note' | 'done'} kind */
export const shape = kind =>
    s(
        'svg',
        {class: `shape ${kind}`, viewBox: '0 0 20 20', 'aria-hidden': 'true'},
        s('path', {d: SHAPES[kind]}),
    );

/**
 * The shape with its word, or another word.
 * @param {'stop' | 'warn' | 'note' | 'done'} kind
 * @param {string} [words]
 */
export const mark = (kind, words = kind === 'warn' ? 'warning' : kind) =>
    h('span', {class: `mark ${kind}`}, shape(kind), words);

/**
 * How many of each there are; nothing when there are none.
 * @param {Record<'stops' | 'warnings' | 'notes', number>} counts
 */
export function counts({stops, warnings, notes}) {
    const marks = [
        stops > 0 && mark('stop', plural(stops, 'stop')),
        warnings > 0 && mark('warn', plural(warnings, 'warning')),
        notes > 0 && mark('note', plural(notes, 'note')),
    ];
    return marks.some(Boolean) ? h('span', {class: 'counts'}, marks) : mark('done', 'no findings');
}
