// Where a pointer is on a surface, and following it until it is lifted.

/**
 * Millimetres on the surface, y up. The frame is looked up each time, as the picture is drawn again while
 * something is dragged.
 * @param {string} surface @param {PointerEvent} event
 */
export function pointOn(surface, event) {
    const frame = /** @type {SVGGElement} */ (
        document.querySelector(`svg.picture [data-surface="${CSS.escape(surface)}"]`)
    );
    return new DOMPoint(event.clientX, event.clientY).matrixTransform(frame.getScreenCTM()?.inverse());
}

/**
 * The listeners stand on the window: what was touched may be gone by then.
 * @param {PointerEvent} event
 * @param {(event: PointerEvent) => void} move
 */
export function follow(event, move) {
    event.preventDefault();
    const end = () => {
        window.removeEventListener('pointermove', move);
        for (const kind of ['pointerup', 'pointercancel']) window.removeEventListener(kind, end);
    };
    window.addEventListener('pointermove', move);
    for (const kind of ['pointerup', 'pointercancel']) window.addEventListener(kind, end);
}
