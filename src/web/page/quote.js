// The job's quote: lines, sums, date, what is missing and what changed, as the server worked them out; making one.

import {get} from './api.js';
import {field, fill, h, tableHead} from './dom.js';
import {mark} from './severity.js';
import {figure, plural} from './words.js';

/** @param {string} words @param {...import('./dom.js').Child} cells */
const row = (words, ...cells) => h('tr', null, h('th', {scope: 'row'}, words), cells);

/** @param {string | null} amount @param {string} [label] */
const amount = (amount, label) =>
    h('td', {class: 'amount', 'data-label': label}, amount === null ? 'not known' : figure(amount));

/** @param {any} line */
const lineRow = line =>
    row(
        line.what,
        h('td', {class: 'amount', 'data-label': 'Quantity', title: line.basis}, figure(line.quantity_words ?? `${line.quantity} ${line.unit}`)),
        h('td', {class: 'amount', 'data-label': 'Rate', title: line.rate_basis}, line.included ? 'included' : figure(line.rate)),
        amount(line.amount, 'Amount'),
        amount(line.cost, 'Cost'),
        amount(line.left, 'Left'),
    );

/** @param {any} quote */
function sums(quote) {
    const sum = (words, value) => row(words, h('td', {class: 'amount', colspan: 3}, `${figure(value)} ${quote.currency}`), h('td', {colspan: 2}));
    return [
        quote.discount_percent !== '0' && sum(`Discount, ${quote.discount_percent} %`, `-${quote.discount}`),
        sum('Total without tax', quote.net),
        quote.tax.map(tax => sum(`${tax.name ?? 'Tax'}, ${tax.percent} %`, tax.amount)),
        sum('Total with tax', quote.gross),
    ];
}

/** @param {any} quote */
const table = quote =>
    h(
        'table',
        {class: 'cards'},
        tableHead(['What'], ['Quantity', 'Rate', 'Amount', 'Cost', 'Left']),
        h('tbody', null, quote.lines.map(lineRow), sums(quote)),
    );

/** What the shop keeps. @param {any} quote */
const left = ({shop, currency}) =>
    `${figure(shop.left)} ${currency} is left after a cost of ${figure(shop.cost)}.` +
    (shop.lines_without_cost ? ` Not counted: ${plural(shop.lines_without_cost, 'line')} whose cost is not known.` : '');

/** @param {string} heading @param {import('./dom.js').Child[]} items */
const list = (heading, items) => items.length > 0 && [h('h3', null, heading), h('ul', {class: 'plain'}, items.map(one => h('li', null, one)))];

/** @param {string | null} value */
const orNone = value => (value === null ? 'none' : figure(value));

/** With its sign. @param {string} value */
const signed = value => (value.startsWith('-') ? figure(value) : `+${figure(value)}`);

/** @param {any} quote */
const changes = quote =>
    quote.before &&
    list(
        `Changed since ${quote.before.file}`,
        quote.changes.map(one => [
            h('strong', null, one.what),
            ` ${orNone(one.before)}, now ${orNone(one.now)}${one.difference ? `: ${signed(one.difference)} ${quote.currency}` : ''}`,
            h('div', {class: 'quiet-words'}, one.why),
        ]),
    );

/** @param {string | undefined} href @param {string} words */
const download = (href, words) => href && h('a', {class: 'button', href, download: true}, words);

/** @param {any} quote @param {{customer: string | undefined, shop: string | undefined}} files addresses of the PDFs */
const shown = (quote, files) => [
    h(
        'p',
        null,
        `Finished ${quote.finished_words ?? 'at no known date'}, if ordered on the day of the quote. Valid until ${quote.valid_words}.`,
        quote.vehicles > 1 && ` ${plural(quote.vehicles, 'vehicle')}.`,
    ),
    quote.missing.length > 0 && h('p', null, mark('warn', 'This quote is not complete.')),
    table(quote),
    h('p', null, left(quote)),
    list('Missing', quote.missing),
    list('Taken as given', quote.assumed),
    changes(quote),
    h(
        'p',
        {class: 'actions'},
        download(files.customer, 'Download the quote'),
        download(files.shop, 'Download the breakdown'),
    ),
];

/** The part of a job view. */
export class QuotePart {
    /** What is shown: the bytes of the file that it was read from. @type {any} */
    quote = null;

    /** @param {HTMLElement} container @param {any} view the job view */
    constructor(container, view) {
        this.view = view;
        this.place = h('div', null);
        this.vehicles = h('input', {name: 'vehicles', inputmode: 'numeric', size: 14, placeholder: 'as the job says'});
        const form = h(
            'form',
            {
                class: 'actions',
                onsubmit: event => {
                    event.preventDefault();
                    view.act('quote', {vehicles: this.vehicles.value.trim() || undefined});
                },
            },
            field('Vehicles', this.vehicles),
            h('button', {'data-focus': 'quote'}, 'Make the quote'),
        );
        fill(container, this.place, view.model.mayChange && form);
    }

    /** Reads quote.json again. */
    async load() {
        const of = name => this.view.model.data.files?.find(file => file.name === name)?.address;
        const address = of('quote.json');
        this.quote = address ? await get(address) : null;
        fill(
            this.place,
            this.quote
                ? shown(this.quote, {customer: of('quote.pdf'), shop: of('quote-shop.pdf')})
                : h('p', {class: 'quiet-words'}, 'There is no quote yet. It needs no artwork: the vehicle and its areas are enough.'),
        );
    }
}
