// The page says quantities in the server's words: a program prints what the server says, and the page's module says
// each again.
//
//     words.mjs QUANTITIES WORDS_JS

import {execFileSync} from 'node:child_process';
import {readFileSync} from 'node:fs';

const [, , program, module] = process.argv;
const words = await import(`data:text/javascript,${encodeURIComponent(readFileSync(module, 'utf8'))}`);
const units = {mm: new words.Units(false), in: new words.Units(true)};
/** @type {Record<string, (value: number, how: string) => string>} */
const say = {
    figure: (value, decimals) => words.number(value, Number(decimals)),
    percent: (value, decimals) => words.percent(value, Number(decimals)),
    hours: (value, decimals) => words.hours(value, Number(decimals)),
    area: (value, unit) => units[unit].area(value),
    length: (value, unit) => units[unit].length(value),
    tenths: (value, unit) => units[unit].length(value, 1),
    run: (value, unit) => units[unit].run(value),
    money: (value, currency) => words.money(value, currency),
    span: value => words.duration(value),
};
const LEAST = 100; // of each kind
const rows = execFileSync(program, {encoding: 'utf8'})
    .trimEnd()
    .split('\n')
    .map(line => line.split('\t'));
const kinds = Object.keys(say);
console.log(`1..${kinds.length}`);
for (const [index, kind] of kinds.entries()) {
    const own = rows.filter(row => row[0] === kind),
        other = own.filter(([, value, how, server]) => say[kind](Number(value), how) !== server);
    const fine = own.length >= LEAST && !other.length;
    console.log(`${fine ? 'ok' : 'not ok'} ${index + 1} - ${kind}: ${own.length} said alike`);
    for (const [, value, how, server] of other.slice(0, 5))
        console.log(`# ${value} (${how}): server ${JSON.stringify(server)}, page ${JSON.stringify(say[kind](Number(value), how))}`);
    if (own.length < LEAST) console.log(`# only ${own.length} values`);
}
