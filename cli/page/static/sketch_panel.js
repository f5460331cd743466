import { h } from "./show.js";
export function sketchPanel() { return { element: h("div"), show() {} }; }
