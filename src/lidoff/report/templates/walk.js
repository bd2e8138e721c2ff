// Shows one still at a time: arrow keys, Page Up and Down, Home, End, space, the two buttons, or a swipe. The address keeps the place.
(() => {
  const stills = [...document.querySelectorAll(".still")];
  if (stills.length === 0) return;
  const [back, on, place] = ["back", "on", "place"].map((name) => document.getElementById(name));
  let shown = Math.max(0, stills.findIndex((still) => `#${still.id}` === location.hash));
  const show = (number) => {
    shown = Math.min(Math.max(number, 0), stills.length - 1);
    for (const [index, still] of stills.entries()) {
      still.classList.toggle("shown", index === shown);
      still.setAttribute("aria-hidden", index === shown ? "false" : "true");
    }
    back.disabled = shown === 0;
    on.disabled = shown === stills.length - 1;
    place.textContent = `${shown + 1} of ${stills.length}`;
    history.replaceState(null, "", `#${stills[shown].id}`);
  };
  const steps = {
    ArrowRight: () => shown + 1, ArrowDown: () => shown + 1, PageDown: () => shown + 1, " ": () => shown + 1,
    ArrowLeft: () => shown - 1, ArrowUp: () => shown - 1, PageUp: () => shown - 1,
    Home: () => 0, End: () => stills.length - 1,
  };
  document.addEventListener("keydown", (event) => {
    const step = steps[event.key];
    const onButton = event.key === " " && event.target instanceof HTMLButtonElement;
    if (step === undefined || onButton || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    show(step());
  });
  back.addEventListener("click", () => show(shown - 1));
  on.addEventListener("click", () => show(shown + 1));
  let from = null;
  document.addEventListener("pointerdown", (event) => { from = event.pointerType === "mouse" ? null : event.clientX; });
  document.addEventListener("pointerup", (event) => {
    const far = from === null ? 0 : event.clientX - from;
    if (Math.abs(far) > 50) show(shown - Math.sign(far));
    from = null;
  });
  window.addEventListener("hashchange", () => show(stills.findIndex((still) => `#${still.id}` === location.hash)));
  document.body.classList.add("stepping");
  document.querySelector("nav").hidden = false;
  show(shown);
})();
