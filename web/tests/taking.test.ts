import { describe, expect, it } from "vitest";
import { drawingAddress, pixels, stillsAddress } from "../src/core/taking";

const plain = { format: "svg", situation: "", theme: "", width: "1600", ticked: {} };

describe("what is taken away", () => {
  it("asks for nothing that is as usual", () =>
    expect(drawingAddress(plain)).toBe("/api/exports/schematic.svg"));
  it("tells a width for pixels alone", () => {
    expect(drawingAddress({ ...plain, format: "pdf", width: "800" })).toBe("/api/exports/schematic.pdf");
    expect(drawingAddress({ ...plain, format: "png", width: "800 px" })).toBe(
      "/api/exports/schematic.png?width=800",
    );
  });
  it("tells what is ticked, and whose numbers are wanted", () =>
    expect(
      drawingAddress({
        ...plain,
        situation: "running full",
        theme: "dark",
        ticked: { currents: true, blocks: false },
      }),
    ).toBe("/api/exports/schematic.svg?situation=running+full&theme=dark&currents=true"));
  it.each(["", "wide", "15", "20001", "12.5"])("%s is no width", (typed) => expect(pixels(typed)).toBeNull());
  it("stills come in the size that was picked", () => {
    expect(stillsAddress("3840x2160", false, true)).toBe(
      "/api/exports/stills.zip?size=3840x2160&transparent=true",
    );
  });
});
