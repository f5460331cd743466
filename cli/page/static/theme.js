// Light or dark: the system's choice until a person makes their own.

/** @param {HTMLElement} button */
export function theme(button) {
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const apply = () => {
    const is = localStorage.getItem("theme") ?? (dark.matches ? "dark" : "light");
    document.documentElement.dataset.theme = is;
    button.textContent = is === "dark" ? "Light" : "Dark";
    document.dispatchEvent(new CustomEvent("themed"));
  };
  button.addEventListener("click", () => {
    localStorage.setItem("theme", document.documentElement.dataset.theme === "dark" ? "light" : "dark");
    apply();
  });
  dark.addEventListener("change", apply);
  apply();
}
