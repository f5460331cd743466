export function loadForm() { return { show() {} }; }
