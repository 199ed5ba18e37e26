// What was typed and not yet sent is not lost by a wrong touch: leaving asks.

const SKIPPED = ['hidden', 'search', 'submit', 'button'];

/** Whether a field was typed into or chosen. @param {Element} one */
export function isChanged(one) {
    if (one instanceof HTMLSelectElement) {
        const before = [...one.options].find(option => option.defaultSelected) ?? one.options[0];
        return one.selectedOptions[0] !== before && one.options.length > 0;
    }
    if (one instanceof HTMLTextAreaElement) return one.value !== one.defaultValue;
    if (!(one instanceof HTMLInputElement) || SKIPPED.includes(one.type) || one.name === 'who') return false;
    if (one.type === 'file') return Boolean(one.files?.length);
    if (one.type === 'checkbox' || one.type === 'radio') return one.checked !== one.defaultChecked;
    return one.value !== one.defaultValue;
}

/** Whether something below was typed or chosen and not sent. @param {ParentNode} root */
export const isUnsaved = root => [...root.querySelectorAll('form input, form select, form textarea')].some(isChanged);

/** Whether the person wants to leave what was typed below. @param {ParentNode} root */
export const mayLeave = root =>
    !isUnsaved(root) || confirm('What you typed here is not saved. Leave it?');

/** Closing the tab, or going to another page, asks too. @param {() => ParentNode} root */
export const askOnLeaving = root =>
    window.addEventListener('beforeunload', event => isUnsaved(root()) && event.preventDefault());
