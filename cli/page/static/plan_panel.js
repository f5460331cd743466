export function planPanel() { return { show() {}, found: () => null }; }
