// A field to sign in with finger, pen or mouse. Whoever cannot, types the name: the picture is left out then.

import {h} from './dom.js';

const WIDTH = 900,
    HEIGHT = 240;

export class Signature {
    #drawn = false;

    constructor() {
        this.canvas = h('canvas', {class: 'signature', width: WIDTH, height: HEIGHT, role: 'img', 'aria-label': 'Field to sign in with finger, pen or mouse'});
        this.element = h(
            'div',
            {class: 'field'},
            h('p', null, 'Sign here. Without a signature the typed name counts.'),
            this.canvas,
            h('button', {type: 'button', onclick: () => this.clear()}, 'Clear the signature'),
        );
        this.clear();
        this.#listen();
    }

    /** White, so that the picture is one on any ground. */
    clear() {
        const pen = this.#pen();
        pen.fillStyle = '#fff';
        pen.fillRect(0, 0, WIDTH, HEIGHT);
        this.#drawn = false;
    }

    #pen() {
        const pen = /** @type {CanvasRenderingContext2D} */ (this.canvas.getContext('2d'));
        pen.lineWidth = 4;
        pen.lineCap = pen.lineJoin = 'round';
        pen.strokeStyle = '#000';
        return pen;
    }

    /** @param {PointerEvent} event */
    #place(event) {
        const box = this.canvas.getBoundingClientRect();
        return /** @type {[number, number]} */ ([
            ((event.clientX - box.left) / box.width) * WIDTH,
            ((event.clientY - box.top) / box.height) * HEIGHT,
        ]);
    }

    #listen() {
        /** @type {[number, number] | null} */
        let last = null;
        const line = event => {
            if (!last) return;
            const pen = this.#pen(),
                to = this.#place(event);
            pen.beginPath();
            pen.moveTo(...last);
            pen.lineTo(...to);
            pen.stroke();
            last = to;
            this.#drawn = true;
        };
        this.canvas.addEventListener('pointerdown', event => {
            this.canvas.setPointerCapture(event.pointerId);
            last = this.#place(event);
            line(event);
        });
        this.canvas.addEventListener('pointermove', line);
        for (const end of ['pointerup', 'pointercancel']) this.canvas.addEventListener(end, () => (last = null));
    }

    /** A PNG; null: nothing was drawn. @returns {Promise<Blob | null>} */
    picture() {
        return this.#drawn ? new Promise(done => this.canvas.toBlob(done, 'image/png')) : Promise.resolve(null);
    }
}
