// Quantities as people say them, by the server's rules (base/quantity.h), for what the page cannot ask: lengths in the
// units that this person chose, times that count down, a seam that is dragged. tests/web/words.mjs holds both alike.

const THIN = '\u202f',
    NO_BREAK = '\u00a0';

/** Digits of a number in threes. @param {string} plain */
const inThrees = plain => plain.replace(/^-?\d+/, whole => whole.replace(/\B(?=(\d{3})+$)/g, THIN));

/** Rounded half away from zero, as the server rounds. @param {number} value @param {number} decimals */
function fixed(value, decimals) {
    const all = Math.floor(Math.abs(value) * 10 ** decimals + 0.5),
        digits = String(all).padStart(decimals + 1, '0'),
        whole = digits.slice(0, digits.length - decimals);
    return (value < 0 && all ? '-' : '') + whole + (decimals ? `.${digits.slice(whole.length)}` : '');
}

/** 1310 -> "1 310", 12.345 -> "12.3". @param {number} value below 1e15 @param {number} [decimals] */
export const number = (value, decimals = 0) => inThrees(fixed(value, decimals));

/** A decimal as the server writes it, its digits in threes: "1284.50" -> "1 284.50". @param {string} plain */
export const figure = plain => inThrees(plain);

/** "81 %". @param {number} value @param {number} [decimals] */
export const percent = (value, decimals = 0) => `${number(value, decimals)}${NO_BREAK}%`;

/** "7.5 h". @param {number} value @param {number} [decimals] */
export const hours = (value, decimals = 1) => `${number(value, decimals)}${NO_BREAK}h`;

/** "12 min", "5 h 20 min", "26 h", "2 d 0 h": whole minutes up, at least one. @param {number} seconds */
export function duration(seconds) {
    const minutes = Math.max(1, Math.ceil(seconds / 60)),
        whole = Math.floor(minutes / 60);
    const parts =
        minutes < 60
            ? [minutes, 'min']
            : whole >= 48
              ? [Math.floor(whole / 24), 'd', whole % 24, 'h']
              : minutes % 60
                ? [whole, 'h', minutes % 60, 'min']
                : [whole, 'h'];
    return parts.join(NO_BREAK);
}

/** "in 5 h 20 min", "3 h ago". @param {number} seconds from now */
export const fromNow = seconds => (seconds >= 0 ? `in ${duration(seconds)}` : `${duration(-seconds)} ago`);

/**
 * A number as people type it. One comma between digits is a decimal mark, except before exactly three digits.
 * @param {string} text @returns {{value: number, trouble: string}} NaN, with what to write instead
 */
export function decimal(text) {
    const words = text.replace(/\s/g, ''),
        three = /^([-+]?\d+),(\d{3})$/.exec(words);
    if (three)
        return {
            value: NaN,
            trouble: `${words} may be ${three[1]}.${three[2]} or ${three[1]}${three[2]}: write one of them.`,
        };
    const value = /^[-+]?(\d+([.,]\d*)?|[.,]\d+)$/.test(words) ? Number(words.replace(',', '.')) : NaN;
    return {value, trouble: words && Number.isNaN(value) ? `${words} is not a number.` : ''};
}

/** The number in a field; the field says what is wrong with it. @param {HTMLInputElement} input */
export function figureOf(input) {
    const {value, trouble} = decimal(input.value);
    input.setCustomValidity(trouble);
    return value;
}

const MM_PER_INCH = 25.4,
    MM_PER_FOOT = 304.8,
    M2_PER_FT2 = 0.3048 * 0.3048;

/** How lengths and areas are shown: millimetres, or inches (1 in = 25.4 mm exactly). `changed` when that changes. */
export class Units extends EventTarget {
    /** What the job asks for that is shown, or else the shop. */
    #asked = false;

    /** @param {boolean | null} own what the person chose: inches or not; null: nothing, so as job or shop ask */
    constructor(own) {
        super();
        this.own = own;
    }

    get inches() {
        return this.own ?? this.#asked;
    }

    /** @param {boolean} inches */
    ask(inches) {
        if (inches === this.#asked) return;
        this.#asked = inches;
        this.dispatchEvent(new Event('changed'));
    }

    /** Of figures that are typed. */
    get name() {
        return this.inches ? 'in' : 'mm';
    }

    /** By how much a seam moves at a press. @returns {{fine: number, coarse: number, words: string, coarseWords: string}} in millimetres */
    get steps() {
        return this.inches
            ? {fine: MM_PER_INCH / 16, coarse: MM_PER_INCH / 2, words: '1/16 in', coarseWords: '1/2 in'}
            : {fine: 1, coarse: 10, words: '1 mm', coarseWords: '10 mm'};
    }

    /** "1 310", or "51.57" to 0.01 in, thin ones to 0.0001 in. @param {number} mm @param {number} [decimals] of a millimetre */
    figure(mm, decimals = 0) {
        if (!this.inches) return number(mm, decimals);
        const inches = mm / MM_PER_INCH;
        return number(inches, Math.abs(inches) < 0.1 ? 4 : 2).replace(/\.?0+$/, '');
    }

    /** A figure that was typed. @param {number} value */
    toMm(value) {
        return this.inches ? value * MM_PER_INCH : value;
    }

    /** What was typed, with the unit that its field is labelled with. @param {string} written @param {string} [unit] */
    withUnit(written, unit = this.name) {
        const words = written.trim();
        return this.inches && /^[\d.,\s]+$/.test(words) ? `${words} ${unit}` : words;
    }

    /** What stands in a field for it, without blanks. @param {number} mm */
    typed(mm) {
        return String(this.inches ? Number((mm / MM_PER_INCH).toFixed(2)) : mm);
    }

    /** "1 310 mm", or "51.57 in". @param {number} mm @param {number} [decimals] of a millimetre */
    length(mm, decimals = 0) {
        return `${this.figure(mm, decimals)}${NO_BREAK}${this.name}`;
    }

    /** Film off a roll: "13.2 m", or "43.4 ft". @param {number} mm */
    run(mm) {
        return this.inches ? `${number(mm / MM_PER_FOOT, 1)}${NO_BREAK}ft` : `${number(mm / 1000, 1)}${NO_BREAK}m`;
    }

    /** "2.66 m2", or "28.6 ft2". @param {number} m2 */
    area(m2) {
        return this.inches ? `${number(m2 / M2_PER_FT2, 1)}${NO_BREAK}ft2` : `${number(m2, 2)}${NO_BREAK}m2`;
    }

    /** Width by height. @param {number} width @param {number} height in millimetres */
    size(width, height) {
        return `${this.figure(width)} x ${this.length(height)}`;
    }
}

/** "1 842.74 EUR". @param {number} amount @param {string} currency */
export const money = (amount, currency) => `${number(amount, 2)}${NO_BREAK}${currency}`;

/** "81 kB", "1.2 GB". @param {number} count */
export function bytes(count) {
    const steps = ['bytes', 'kB', 'MB', 'GB'];
    let step = 0,
        value = count;
    for (; value >= 1000 && step < steps.length - 1; step++) value /= 1000;
    return `${number(value, step > 1 && value < 100 ? 1 : 0)}${NO_BREAK}${steps[step]}`;
}

/** "1 panel", "3 panels". @param {number} count @param {string} one @param {string} [many] */
export const plural = (count, one, many = `${one}s`) => `${number(count)} ${count === 1 ? one : many}`;

/** "left-1, left-2 and left-4". @param {string[]} names */
export const listed = names =>
    names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;

/** Panels of one surface, said short: "left-1 to left-4", or each by name. @param {string} stem @param {string[]} panels */
function panelRun(stem, panels) {
    const numbers = panels.map(id => Number(id.slice(stem.length))).sort((a, b) => a - b);
    const run = panels.length > 2 && numbers.every((value, i) => i === 0 || value === numbers[i - 1] + 1);
    return run ? [`${stem}${numbers[0]} to ${stem}${numbers[numbers.length - 1]}`] : panels;
}

/** Panels said short, surface by surface: "left-1 to left-4, rear-1 and rear-2". @param {string[]} panels */
export function panelNames(panels) {
    /** @type {Map<string, string[]>} */
    const surfaces = new Map();
    for (const id of panels) {
        const stem = id.replace(/\d+$/, '');
        surfaces.set(stem, [...(surfaces.get(stem) ?? []), id]);
    }
    return listed([...surfaces].flatMap(([stem, of]) => panelRun(stem, of)));
}

/** Words as YAML of one line: a JSON string is one. @param {string} text */
export const quoted = text => JSON.stringify(text);
