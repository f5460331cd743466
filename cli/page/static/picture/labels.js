// Names beside the part, each with a line to a spot of it that is in sight; a dashed one to what metal hides.

const ROW = 27; // pixels from name to name
const AXES = 76; // pixels at the lower left that the axes have
const GAP = 26; // pixels from the part to its names
const SVG = "http://www.w3.org/2000/svg";

/**
 * @typedef {{name: string, text: string, x: number, y: number, first: number, chosen: boolean, hidden: boolean}} Label
 *   its text, the spot that it belongs to, how much it is wanted, and whether it is the chosen one or metal hides it
 */

/**
 * @param {HTMLElement} host
 * @param {(name: string, several: boolean) => void} pressed
 */
export function labels(host, pressed) {
  const lines = document.createElementNS(SVG, "svg");
  lines.setAttribute("class", "leaders");
  const names = document.createElement("div");
  names.className = "labels";
  for (const part of [lines, names]) {
    part.setAttribute("aria-hidden", "true"); // the table says the same, and is read in order
    host.append(part);
  }

  /** @param {Label} label */
  function made({ name, text, chosen }) {
    const button = document.createElement("button");
    button.type = "button";
    button.tabIndex = -1;
    button.textContent = text;
    button.className = chosen ? "chosen" : "";
    button.dataset.name = name;
    button.addEventListener("click", (e) => pressed(name, e.shiftKey || e.ctrlKey || e.metaKey));
    return button;
  }

  /**
   * One side's names from top to bottom, each as near to its spot as the others let it be.
   * @param {Label[]} side
   * @param {number} tall
   */
  function rows(side, tall) {
    side.sort((a, b) => a.y - b.y);
    const at = side.map((label) => label.y);
    for (let i = 1; i < at.length; i += 1) at[i] = Math.max(at[i], at[i - 1] + ROW);
    let most = tall - ROW / 2;
    for (let i = at.length - 1; i >= 0; i -= 1) {
      at[i] = Math.max(ROW / 2, Math.min(at[i], most));
      most = at[i] - ROW;
    }
    return at;
  }

  return {
    /**
     * @param {Label[]} wanted
     * @param {{left: number, right: number}} part how far the part reaches, in pixels
     * @param {number} wide @param {number} tall of the picture
     */
    show(wanted, part, wide, tall) {
      const middle = (part.left + part.right) / 2;
      const drawn = document.createDocumentFragment();
      const strokes = document.createDocumentFragment();
      const sides = [wanted.filter((label) => label.x <= middle), wanted.filter((label) => label.x > middle)];
      /** @type {{button: HTMLButtonElement, label: Label, right: number, y: number}[]} */
      const places = [];
      for (const [right, side] of sides.entries()) {
        const deep = right ? tall : tall - AXES;
        const kept = side.sort((a, b) => b.first - a.first).slice(0, Math.max(1, Math.floor(deep / ROW) - right));
        const at = rows(kept, deep);
        kept.forEach((label, i) => {
          const button = made(label);
          drawn.append(button);
          places.push({ button, label, right, y: at[i] });
        });
      }
      names.replaceChildren(drawn);
      for (const { button, label, right, y } of places) {
        const own = button.offsetWidth;
        const x = right ? Math.min(part.right + GAP, wide - own - 6) : Math.max(part.left - GAP - own, 6);
        button.style.transform = `translate(${x.toFixed(0)}px, ${(y - ROW / 2).toFixed(0)}px)`;
        const line = document.createElementNS(SVG, "path");
        line.setAttribute("d", `M${right ? x : x + own} ${y}L${label.x} ${label.y}`);
        line.setAttribute("class", `${label.chosen ? "chosen" : ""}${label.hidden ? " far" : ""}`);
        const dot = document.createElementNS(SVG, "circle");
        for (const [key, value] of Object.entries({ cx: label.x, cy: label.y, r: 3 })) dot.setAttribute(key, String(value));
        strokes.append(line, dot);
      }
      lines.replaceChildren(strokes);
    },
    clear() {
      names.replaceChildren();
      lines.replaceChildren();
    },
  };
}
