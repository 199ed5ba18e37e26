// What the job file says, as a form made from the schema. Only what was changed is written; everything else in
// job.yaml, comments too, stays as it is.

import {field, fill, h} from './dom.js';
import {quoted} from './words.js';

/**
 * @typedef {{group: string, name: string, form: string, required: boolean, range: string | null, usual:
 *   string | null, help: string, choices: string[] | null}} Key
 */
/**
 * @typedef {{path: string, input: HTMLInputElement | HTMLSelectElement, before: string, text: boolean}} Entry
 */

/** Lists whose entries have keys of their own; other lists and groups are typed as YAML of one line. */
const LISTS = new Set(['surfaces', 'features', 'artwork', 'keep-whole']);
/** Keys of these forms are words, and written as such. */
const TEXTS = /^(a text|the path|letters|the name)/;

/** A written value as YAML of one line. @param {any} value @returns {string} */
export function asYaml(value) {
    if (Array.isArray(value)) return `[${value.map(asYaml).join(', ')}]`;
    if (value && typeof value === 'object')
        return `{${Object.entries(value)
            .map(([key, of]) => `${key}: ${asYaml(of)}`)
            .join(', ')}}`;
    const words = String(value ?? '');
    return /^[\w.+-][\w .%/+-]*$/.test(words) && words.trim() === words ? words : quoted(words);
}

/** @param {Key} key @param {any} value */
const isGroup = (key, value) =>
    key.form.startsWith('a group: see ') &&
    (value === undefined || (typeof value === 'object' && !Array.isArray(value)));

/** @param {string} words */
const capital = words => words.charAt(0).toUpperCase() + words.slice(1);

/**
 * The words that may be written, where there are few; some keys say them in their form only.
 * @param {Key} key
 */
function choicesOf({choices, form}) {
    if (choices) return choices;
    if (form === 'true or false') return ['true', 'false'];
    return /^one of (.+)$/.exec(form)?.[1].split(', ') ?? null;
}

/** @param {any} item @param {number} index */
const entryName = (item, index) => item?.name ?? item?.kind ?? item?.file ?? `no. ${index + 1}`;

export class JobForm {
    /** @type {Entry[]} */
    #entries = [];

    /**
     * @param {HTMLElement} container @param {Key[]} keys
     * @param {(changes: [string, string][], words: string) => Promise<boolean>} save
     */
    constructor(container, keys, save) {
        this.container = container;
        this.keys = keys;
        this.save = save;
    }

    /** Whether something was typed and not yet saved: then the form is not drawn again. */
    get typed() {
        return this.#changes().length > 0;
    }

    /** @param {any} tree job.yaml as written */
    draw(tree) {
        const open = new Set(
            [.../** @type {NodeListOf<HTMLElement>} */ (this.container.querySelectorAll('details[open]'))].map(
                one => one.dataset.path,
            ),
        );
        this.#entries = [];
        const form = h(
            'form',
            {onsubmit: event => (event.preventDefault(), this.#send())},
            this.#group('job', tree, ''),
            h(
                'p',
                {class: 'actions'},
                h('button', {class: 'main'}, 'Save what was changed'),
                h('button', {type: 'button', onclick: () => this.draw(tree)}, 'Put back'),
            ),
        );
        fill(this.container, form);
        for (const details of this.container.querySelectorAll('details'))
            details.open = open.has(details.dataset.path);
    }

    /** @param {string} group @param {any} tree @param {string} path with its dot, or empty */
    #group(group, tree, path) {
        const keys = this.keys.filter(key => key.group === group);
        const simple = keys.filter(
            key => !isGroup(key, tree?.[key.name]) && !this.#isList(key, tree?.[key.name]),
        );
        return [
            h(
                'div',
                {class: 'fields'},
                simple.map(key => this.#field(key, tree?.[key.name], path + key.name)),
            ),
            keys
                .filter(key => !simple.includes(key))
                .map(key => this.#nested(key, tree?.[key.name], path + key.name)),
        ];
    }

    /** @param {Key} key @param {any} value */
    #isList(key, value) {
        return (
            LISTS.has(key.name) && (Array.isArray(value) || value === undefined) && /list of/.test(key.form)
        );
    }

    /** @param {Key} key @param {any} value @param {string} path */
    #nested(key, value, path) {
        const details = (name, at, ...children) =>
            h('details', {'data-path': at}, h('summary', null, name), children);
        if (isGroup(key, value))
            return details(
                key.name,
                path,
                h('p', {class: 'help'}, key.help),
                this.#group(key.name, value, `${path}.`),
            );
        const entries = value ?? [];
        if (!entries.length) return null;
        return entries.map((item, index) => {
            const at = `${path}.${key.name === 'surfaces' && item.name ? item.name : index}`;
            const body =
                typeof item === 'object'
                    ? this.#group(key.name, item, `${at}.`)
                    : this.#field({...key, form: 'the path of a file', required: false}, item, at);
            return details(`${key.name}: ${entryName(item, index)}`, at, body);
        });
    }

    /** @param {Key} key @param {any} value @param {string} path */
    #field(key, value, path) {
        const before = value === undefined ? '' : typeof value === 'object' ? asYaml(value) : String(value);
        const usual = key.usual ? `left out: ${key.usual}` : '';
        const choices = choicesOf(key);
        const input = choices
            ? h(
                  'select',
                  {name: path},
                  [...new Set(['', ...choices, before])].map(word =>
                      h('option', {value: word, selected: word === before}, word || 'left out'),
                  ),
              )
            : h('input', {name: path, value: before, placeholder: usual, autocomplete: 'off'});
        this.#entries.push({path, input, before, text: TEXTS.test(key.form)});
        return field(
            key.name,
            input,
            `${key.help} ${capital(key.form)}${key.range ? `, ${key.range}` : ''}${usual ? `; ${usual}` : ''}.`,
        );
    }

    /** @returns {[string, string][]} */
    #changes() {
        return this.#entries
            .filter(({input, before}) => input.value.trim() !== before)
            .map(({path, input, text}) => [
                path,
                text && input.value.trim() ? quoted(input.value.trim()) : input.value.trim(),
            ]);
    }

    async #send() {
        const changes = this.#changes();
        if (changes.length && (await this.save(changes, 'job.yaml is saved')))
            for (const entry of this.#entries) entry.before = entry.input.value.trim();
    }
}
