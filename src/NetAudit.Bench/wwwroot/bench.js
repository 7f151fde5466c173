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
    // A sketch is moved and zoomed here, without a word to the program.
    const view = (svg) => svg.getAttribute("viewBox").split(" ").map(Number);
    const show = (svg, box) => svg.setAttribute("viewBox", box.map((n) => n.toFixed(1)).join(" "));
    const zoom = (svg, by, x = 0.5, y = 0.5) => {
        const [left, top, width, height] = view(svg);
        const whole = svg.dataset.whole.split(" ").map(Number);
        const to = Math.min(Math.max(width * by, whole[2] / 12), whole[2] * 2) / width;
        show(svg, [left + width * x * (1 - to), top + height * y * (1 - to), width * to, height * to]);
    };
    const move = (svg, x, y) => {
        const [left, top, width, height] = view(svg);
        show(svg, [left + width * x, top + height * y, width, height]);
    };
    const sketch = (event) => event.target.closest?.("[data-pan] svg");
    document.addEventListener("click", (event) => {
        const by = event.target.closest("[data-zoom]")?.dataset.zoom;
        const svg = by && event.target.closest("[data-pan]").querySelector("svg");
        if (svg && by === "all") {
            svg.setAttribute("viewBox", svg.dataset.whole);
        } else if (svg) {
            zoom(svg, Number(by));
        }
    });
    document.addEventListener("wheel", (event) => {
        const svg = sketch(event);
        if (svg && (event.ctrlKey || document.activeElement === svg || svg.contains(document.activeElement))) {
            event.preventDefault();
            const box = svg.getBoundingClientRect();
            zoom(svg, event.deltaY > 0 ? 1.15 : 0.87, (event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
        }
    }, { passive: false });
    const fingers = new Map();
    const apart = () => {
        const [a, b] = [...fingers.values()];
        return Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
    };
    document.addEventListener("pointerdown", (event) => {
        if (sketch(event)) {
            fingers.set(event.pointerId, event);
        }
    });
    document.addEventListener("pointermove", (event) => {
        const before = fingers.get(event.pointerId);
        const svg = before && sketch(before);
        if (!svg) {
            return;
        }
        const box = svg.getBoundingClientRect();
        const gap = fingers.size === 2 ? apart() : 0;
        fingers.set(event.pointerId, event);
        if (gap > 0) {
            zoom(svg, gap / Math.max(1, apart()));
        } else if (fingers.size === 1) {
            move(svg, (before.clientX - event.clientX) / box.width, (before.clientY - event.clientY) / box.height);
        }
    });
    for (const end of ["pointerup", "pointercancel"]) {
        document.addEventListener(end, (event) => fingers.delete(event.pointerId));
    }
    const steps = { ArrowLeft: [-0.1, 0], ArrowRight: [0.1, 0], ArrowUp: [0, -0.1], ArrowDown: [0, 0.1] };
    document.addEventListener("keydown", (event) => {
        const target = event.target;
        if (target.matches?.("[data-pan] svg")) {
            if (steps[event.key]) {
                move(target, ...steps[event.key]);
                event.preventDefault();
            } else if (event.key === "+" || event.key === "-") {
                zoom(target, event.key === "+" ? 0.8 : 1.25);
            }
        }
        if (target.id === "reading" && (event.key === "ArrowUp" || event.key === "ArrowDown")) {
            event.preventDefault();
        }
        if (target.getAttribute?.("role") === "button" && target.tagName !== "BUTTON" && event.key === " ") {
            event.preventDefault();
        }
    });
})();
