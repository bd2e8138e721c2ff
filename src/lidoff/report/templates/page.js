// Lights up a part or net wherever the page names it, while the pointer or the focus is on it.
(() => {
  const find = (element) => element instanceof Element ? element.closest("[data-part],[data-net]") : null;
  const same = (one, other) =>
    (one.dataset.part !== undefined && one.dataset.part === other.dataset.part) ||
    (one.dataset.net !== undefined && one.dataset.net === other.dataset.net);
  const all = [...document.querySelectorAll("[data-part],[data-net]")];
  const light = (element) => {
    const chosen = find(element);
    for (const other of all) other.classList.toggle("lit", chosen !== null && same(chosen, other));
  };
  for (const name of ["pointerover", "focusin"]) document.addEventListener(name, (event) => light(event.target));
  for (const name of ["pointerleave", "focusout"]) document.addEventListener(name, () => light(null));
})();
