import { busiest } from "../core/findings";
import { litBy, type Lit, same, type Thing } from "../core/selection";
import { rows } from "../core/paths";
import { dossier } from "./dossier.svelte";
import { insight } from "./insight.svelte";

export const PLACES = ["evidence", "boards", "circuit", "findings", "publish", "shelf"] as const;
export type Place = (typeof PLACES)[number];
export type Ground = "machine" | "light" | "dark";

function placeOf(path: string): Place {
  const word = path.split("/")[1] ?? "";
  return (PLACES as readonly string[]).includes(word) ? (word as Place) : "evidence";
}

/** What the person looks at: never part of the dossier, never undone. */
class View {
  place = $state<Place>(placeOf(location.pathname));
  ground = $state<Ground>((localStorage.getItem("lidoff.ground") as Ground | null) ?? "machine");
  hovered = $state.raw<Thing | null>(null);
  held = $state.raw<Thing | null>(null);
  /** The placed part that is being told what it is. */
  telling = $state("");
  sheet = $state<"none" | "help" | "find" | "phone" | "history">("none");
  #situation = $state(sessionStorage.getItem("lidoff.situation") ?? "");

  situations = $derived(
    rows(dossier.state?.document, "situations").map(([name, row]) => ({
      name,
      title: typeof row["title"] === "string" && row["title"] ? row["title"] : name,
    })),
  );
  /** The first situation that was shown without being asked for; an edit must not send the eye to another. */
  #first = "";
  situation = $derived.by(() => {
    const has = (name: string): boolean => this.situations.some((one) => one.name === name);
    if (has(this.#situation)) return this.#situation;
    if (!has(this.#first)) this.#first = busiest(insight.situations) ?? "";
    return this.#first || (this.situations[0]?.name ?? "");
  });
  lit: Lit = $derived(litBy(this.hovered ?? this.held, insight.circuit));

  constructor() {
    window.addEventListener("popstate", () => (this.place = placeOf(location.pathname)));
    this.#paint();
  }

  /** Goes to a place, and there to the thing of that address. */
  go(place: Place, address = ""): void {
    const path = `/${place}${address ? `#${address}` : ""}`;
    if (path !== location.pathname + location.hash) history.pushState(null, "", path);
    this.place = place;
    document.title = "lidoff";
    if (address) reach(address);
    else window.scrollTo({ top: 0 });
  }

  /** Brings a thing of that address on this page into sight. */
  reach(address: string): void {
    history.replaceState(null, "", `${location.pathname}#${address}`);
    reach(address);
  }

  top(): void {
    window.scrollTo({ top: 0 });
  }

  choose(situation: string): void {
    this.#situation = situation;
    sessionStorage.setItem("lidoff.situation", situation);
  }

  step(by: 1 | -1): void {
    const names = this.situations.map((one) => one.name);
    if (!names.length) return;
    const next = names[(names.indexOf(this.situation) + by + names.length) % names.length];
    if (next) this.choose(next);
  }

  hover(thing: Thing | null): void {
    if (!same(this.hovered, thing)) this.hovered = thing;
  }

  hold(thing: Thing | null): void {
    this.held = thing;
  }

  setGround(ground: Ground): void {
    this.ground = ground;
    localStorage.setItem("lidoff.ground", ground);
    this.#paint();
  }

  #paint(): void {
    document.documentElement.dataset["ground"] = this.ground;
  }
}

/** Brings a row into sight once it is drawn, and gives it the focus. */
function reach(address: string, tries = 20): void {
  const found = document.getElementById(address);
  if (found) {
    const chapter = found.matches("h2") ? found.closest<HTMLElement>(".chapter") : null;
    if (chapter) chapter.scrollIntoView({ block: "start" });
    else found.scrollIntoView({ block: "center" });
    if (!found.hasAttribute("tabindex")) found.tabIndex = -1;
    found.focus({ preventScroll: true });
    if (chapter) return;
    found.classList.add("reached");
    window.setTimeout(() => found.classList.remove("reached"), 2500);
  } else if (tries > 0) window.setTimeout(() => reach(address, tries - 1), 50);
}

export const view = new View();
