/** The page's colours for what is painted on a canvas. A token holds both grounds; only a painted property tells which is in force. */
export function colourOf(place: HTMLElement, token: string, share = 1): string {
  const probe = document.createElement("span");
  probe.style.color = `var(${token})`;
  place.append(probe);
  const found = getComputedStyle(probe).color;
  probe.remove();
  if (share >= 1) return found;
  const numbers = /rgba?\(([^)]+)\)/.exec(found)?.[1]?.split(",").slice(0, 3).join(",");
  return numbers ? `rgba(${numbers}, ${share})` : found;
}
