import { expect, it } from "vitest";
import { isLetIn, isTold, neighbour } from "../src/viewer/schematic";

it.each(["script", "foreignObject", "image", "a", "style", "use", "animate", "set"])(
  "a drawing's <%s> stays out",
  (name) => expect(isLetIn(name)).toBe(false),
);
it.each(["onload", "onclick", "href", "xlink:href", "style", "fill", "filter"])(
  "so does the attribute %s",
  (name) => expect(isTold(name)).toBe(false),
);
it("shapes and the names of parts and nets come in", () => {
  expect(["g", "path", "text", "title"].every(isLetIn)).toBe(true);
  expect(["d", "data-part", "data-net", "transform"].every(isTold)).toBe(true);
});

it("arrows go to the part that lies straight ahead, though another is nearer aside", () => {
  const [from, ahead, aside, behind] = [
    { x: 0, y: 0 },
    { x: 60, y: 5 },
    { x: 30, y: 40 },
    { x: -20, y: 0 },
  ] as const;
  const all = [from, ahead, aside, behind];
  expect(neighbour(all, from, "ArrowRight")).toBe(ahead);
  expect(neighbour(all, from, "ArrowLeft")).toBe(behind);
  expect(neighbour(all, from, "ArrowUp")).toBeNull();
});
