/** Steps from mark to mark: one, two or five of a decade, so that marks stand even and read evenly. */
export const STEPS: readonly number[] = Array.from({ length: 33 }, (_, decade) =>
  [1, 2, 5].map((digit) => Number(`${digit}e${decade - 16}`)),
).flat();

/** Marks of an axis with the digits that their step needs and their unit behind: a name on its side would be misread. */
export function marks(splits: readonly number[], step: number, unit: string): string[] {
  const digits = Math.min(20, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));
  return splits.map((value) => {
    const number = value.toFixed(digits).replace("-", "−");
    const shown = /[1-9]/.test(number) ? number : number.replace("−", "");
    return unit ? `${shown}\u2009${unit}` : shown;
  });
}

/** Places of values that no line reaches, since both neighbours are missing: these are drawn as points. */
export function lonely(values: readonly (number | null | undefined)[]): number[] {
  const told = (place: number): boolean => values[place] !== null && values[place] !== undefined;
  return values.flatMap((_, place) => (told(place) && !told(place - 1) && !told(place + 1) ? [place] : []));
}
