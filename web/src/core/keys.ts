/** The workbench's own shortcuts: the one table that the pages obey and the help sheet prints. */
export interface Shortcut {
  readonly keys: string;
  readonly does: string;
  readonly where: "everywhere" | "drawing" | "photo";
}

export const SHORTCUTS: readonly Shortcut[] = [
  { keys: "1 … 6", does: "go to Evidence, Boards, Circuit, Findings, Publish, Shelf", where: "everywhere" },
  { keys: "[ and ]", does: "the situation before, and after", where: "everywhere" },
  { keys: "U", does: "take the last change back", where: "everywhere" },
  { keys: "Shift U", does: "put it in again", where: "everywhere" },
  { keys: "F", does: "find a part, a net or a reading", where: "everywhere" },
  { keys: "Esc", does: "leave what is begun; let go of what is held", where: "everywhere" },
  { keys: "?", does: "this sheet", where: "everywhere" },
  { keys: "arrows", does: "from part to part", where: "drawing" },
  { keys: "Enter", does: "hold the part: its sheet opens, and it stays lit", where: "drawing" },
  { keys: "Shift arrows", does: "move the part by a step and pin it there", where: "drawing" },
  { keys: "full stop", does: "turn the part by a quarter and pin it", where: "drawing" },
  { keys: "L", does: "let the part go to where the drawing puts it", where: "drawing" },
  { keys: "S", does: "show the other side of the board", where: "photo" },
  { keys: "T", does: "see through the board by halves", where: "photo" },
  { keys: "C", does: "show what everything is taken for, while you say what is there", where: "photo" },
  { keys: "arrows", does: "move the cross; with Shift in small steps", where: "photo" },
  { keys: "Enter", does: "set a point at the cross", where: "photo" },
  { keys: "Backspace", does: "take the last point away", where: "photo" },
  { keys: "+ and −", does: "closer and further", where: "photo" },
];

/** Whether a key press belongs to what is being typed, not to the page. */
export function isTyping(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  return (
    target.isContentEditable ||
    target.matches("input:not([type=checkbox]):not([type=radio]):not([type=range]), textarea, select")
  );
}
