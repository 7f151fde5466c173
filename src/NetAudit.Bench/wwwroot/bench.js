// Light or dark, and the keys that a browser would use for itself. Everything else is the program's.
(() => {
    const root = document.documentElement;
    const kept = localStorage.getItem("bench-theme");
    if (kept) {
        root.dataset.theme = kept;
    }
    document.addEventListener("click", (event) => {
        if (event.target.closest("[data-theme-switch]")) {
            const dark = matchMedia("(prefers-color-scheme: dark)").matches;
            const now = root.dataset.theme ?? (dark ? "dark" : "light");
            root.dataset.theme = now === "dark" ? "light" : "dark";
            localStorage.setItem("bench-theme", root.dataset.theme);
        }
    });
    document.addEventListener("keydown", (event) => {
        const target = event.target;
        if (target.id === "reading" && (event.key === "ArrowUp" || event.key === "ArrowDown")) {
            event.preventDefault();
        }
        if (target.getAttribute?.("role") === "button" && target.tagName !== "BUTTON" && event.key === " ") {
            event.preventDefault();
        }
    });
})();
