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
    // The program was started again and knows nothing of this tab: the page is loaded anew, in the view its address names.
    const lost = ["components-reconnect-rejected", "components-reconnect-failed", "components-reconnect-resume-failed"];
    const comeBack = async () => {
        try {
            if ((await fetch(location.href, { cache: "no-store" })).ok) {
                location.reload();
                return;
            }
        } catch {
            // Not there yet.
        }
        setTimeout(comeBack, 1000);
    };
    document.addEventListener("DOMContentLoaded", () => {
        const modal = document.getElementById("components-reconnect-modal");
        let coming = false;
        new MutationObserver(() => {
            if (!coming && lost.some((name) => modal.classList.contains(name))) {
                coming = true;
                comeBack();
            }
        }).observe(modal, { attributes: true, attributeFilter: ["class"] });
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
