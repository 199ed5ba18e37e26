// Rolls and batches in the shop: what came in, what is used up.

import {Away, get, newKey, post} from './api.js';
import {choice, field, fill, h, tableHead, typed} from './dom.js';
import {mark} from './severity.js';
import {signedFields, signedValues} from './signed.js';
import {plural} from './words.js';

/** @typedef {import('./app.js').Shared} Shared */

const HEADS = ['Roll', 'What', 'Batch', 'Width', 'Length as it came', 'Left', 'Came in', 'Panels', 'Gone'];

/**
 * @param {any} roll @param {import('./words.js').Units} units
 * @param {((roll: any) => void) | false} usedUp not for who may only look
 */
function row(roll, units, usedUp) {
    const cell = (label, ...children) => h('td', {'data-label': label}, children);
    return h(
        'tr',
        null,
        h('th', {scope: 'row'}, roll.name),
        cell('What', `${roll.what} ${roll.of}${roll.cut_from ? `, off-cut of ${roll.cut_from}` : ''}`),
        cell('Batch', roll.batch ?? ''),
        cell('Width', roll.width_mm ? units.length(roll.width_mm) : ''),
        cell('Length', roll.length_mm ? units.run(roll.length_mm) : ''),
        cell('Left', roll.left_mm === null ? '' : units.run(roll.left_mm)),
        cell('Came in', roll.in?.words ?? ''),
        cell('Panels', roll.panels),
        h(
            'td',
            null,
            roll.out
                ? `gone ${roll.out.words}`
                : usedUp && h(
                      'button',
                      {class: 'quiet', 'data-focus': `out-${roll.name}`, onclick: () => usedUp(roll)},
                      `${roll.name} is used up`,
                  ),
        ),
    );
}

/** @param {any[]} rolls @param {import('./words.js').Units} units @param {((roll: any) => void) | false} usedUp */
function list(rolls, units, usedUp) {
    if (!rolls.length)
        return h(
            'p',
            {class: 'empty sheet'},
            `No roll is entered yet.${usedUp ? ' Enter the first one below; its name goes on the roll, and on each panel that is printed from it.' : ''}`,
        );
    const here = rolls.filter(roll => !roll.out);
    return h(
        'table',
        {class: 'sheet cards'},
        h('caption', null, `${plural(here.length, 'roll')} here, ${rolls.length - here.length} gone`),
        tableHead(HEADS),
        h(
            'tbody',
            null,
            [...here, ...rolls.filter(roll => roll.out)].map(roll => row(roll, units, usedUp)),
        ),
    );
}

/** A figure alone is meant in its field's unit. @param {Record<string, string>} fields @param {import('./words.js').Units} units */
function withUnits(fields, units) {
    const {width_mm, length_mm} = fields;
    return {
        ...fields,
        ...(width_mm && {width_mm: units.withUnit(width_mm)}),
        ...(length_mm && {length_mm: units.withUnit(length_mm, 'ft')}),
    };
}

/**
 * What a form does when it is sent.
 * @param {import('./words.js').Units} units @param {(fields: Record<string, string>) => Promise<void>} add
 * @param {HTMLElement} said where it says what is wrong @param {() => void} [emptied] after it is on record
 */
function sender(units, add, said, emptied = () => {}) {
    /** The same until the server has answered: sent again after it was away, the roll is entered once. */
    let key = newKey();
    return async event => {
        event.preventDefault();
        const button = event.submitter;
        button.disabled = true;
        try {
            await add({...withUnits(typed(event.target), units), key});
            key = newKey();
            event.target.reset();
            emptied();
            fill(said);
        } catch (trouble) {
            if (!(trouble instanceof Away)) key = newKey();
            fill(said, mark('stop', /** @type {Error} */ (trouble).message));
        } finally {
            button.disabled = false;
        }
    };
}

/**
 * @param {any} stock @param {import('./words.js').Units} units @param {(fields: Record<string, string>) => Promise<void>} add
 * @param {HTMLElement} signed who does it
 */
function form(stock, units, signed, add) {
    const names = {
        film: stock.films.map(one => one.name),
        laminate: stock.laminates.map(one => one.name),
        ink: stock.inks,
    };
    const what = choice('what', ['film', 'laminate', 'ink']),
        of = h('select', {name: 'of'});
    const update = () =>
        fill(
            of,
            (names[what.value] ?? []).map(name => h('option', {value: name}, name)),
        );
    what.addEventListener('change', update);
    update();
    const said = h('p', {role: 'alert'});
    const send = sender(units, add, said, update);
    return h(
        'form',
        {class: 'sheet', onsubmit: send},
        h('h2', null, 'A roll came in'),
        h(
            'div',
            {class: 'fields'},
            field('What', what),
            field('Which', of),
            field('Batch', h('input', {name: 'batch', maxlength: 64}), 'What stands on the roll.'),
            field(`Width, ${units.name}`, h('input', {name: 'width_mm', inputmode: 'decimal'})),
            field(
                `Length, ${units.inches ? 'ft' : 'mm'}`,
                h('input', {name: 'length_mm', inputmode: 'decimal'}),
                units.inches ? undefined : '50 m is 50000.',
            ),
            signed,
        ),
        said,
        h('button', {class: 'main'}, 'Enter it'),
    );
}

/**
 * An off-cut that is kept: what it is and its batch follow from the roll that it was cut from.
 * @param {any} stock @param {import('./words.js').Units} units @param {(fields: Record<string, string>) => Promise<void>} add
 */
function cutForm(stock, units, add) {
    const rolls = stock.rolls.filter(roll => roll.what !== 'ink').map(roll => roll.name),
        said = h('p', {role: 'alert'});
    if (!rolls.length) return null;
    const send = sender(units, add, said);
    return h(
        'form',
        {class: 'sheet', onsubmit: send},
        h('h2', null, 'An off-cut is kept'),
        h(
            'div',
            {class: 'fields'},
            field('Cut from', choice('cut_from', rolls)),
            field(`Width of the off-cut, ${units.name}`, h('input', {name: 'width_mm', inputmode: 'decimal'})),
            field(
                `Length of the off-cut, ${units.inches ? 'ft' : 'mm'}`,
                h('input', {name: 'length_mm', inputmode: 'decimal'}),
                'As wide as its roll, it is taken off the roll\u2019s length.',
            ),
        ),
        said,
        h('button', null, 'Keep it'),
    );
}

/** @type {import('./router.js').ShowView} */
export async function show(main, shared) {
    let stock = await get('/api/stock');
    const table = h('div', null),
        may = shared.shop.role !== 'viewer',
        entry = h('div', null),
        cut = h('div', null),
        signed = signedFields(shared.shop.who, false);
    const refresh = async () => {
        stock = await get('/api/stock');
        shared.press.after(draw);
    };
    const usedUp = async roll => {
        try {
            await post('/api/stock', {
                roll: roll.name,
                out: 'yes',
                key: newKey(),
                ...signedValues(signed),
            });
            shared.notices.say(
                `${roll.name} is used up. An entry that was not so is corrected by entering the roll again.`,
            );
            await refresh();
        } catch (trouble) {
            shared.notices.trouble(trouble);
        }
    };
    const draw = () => fill(table, list(stock.rolls, shared.units, may && usedUp));
    const drawForm = () => fill(entry, may && form(stock, shared.units, signed, add));
    const drawCut = () => fill(cut, may && cutForm(stock, shared.units, add));
    const add = async fields => {
        const {roll} = await post('/api/stock', {...fields, ...(fields.cut_from && signedValues(signed))});
        shared.notices.say(`The roll is called ${roll}: write that on it.`);
        await refresh();
        drawCut();
    };
    fill(main, h('h1', null, 'Rolls and batches'), table, entry, cut);
    const drawAll = () => (draw(), drawForm(), drawCut());
    drawAll();
    return {title: 'Stock', refresh, draw: drawAll};
}
