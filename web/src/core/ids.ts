/** A fresh name that no one guesses. By random bytes, since a phone's plain http page has no ready-made identifiers. */
export function freshId(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))]
    .map((byte) => byte.toString(16).padStart(2, "0"))
    .join("");
}
