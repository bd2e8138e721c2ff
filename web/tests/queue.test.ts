import { describe, expect, it } from "vitest";
import type { Edit } from "../src/api/types";
import { type Keep, Outbox, type Outcome, type Waiting } from "../src/core/queue";

const edit: Edit = { kind: "set", path: ["device", "title"], value: "Lamp" };
const change = (id: string): Waiting => ({ id, base: 1, act: "edit", edit });

function kept(text: string | null = null): Keep & { text: string | null } {
  return {
    text,
    read() {
      return this.text;
    },
    write(told) {
      this.text = told;
    },
  };
}

describe("changes on their way", () => {
  it("go over one after the other, in the order they were made", async () => {
    const sent: string[] = [];
    let under = 0;
    const outbox = new Outbox(kept(), async ({ id }) => {
      under += 1;
      expect(under).toBe(1);
      await Promise.resolve();
      sent.push(id);
      under -= 1;
      return { sent: "acknowledged" };
    });
    await Promise.all(["a", "b", "c"].map((id) => outbox.put(change(id))));
    expect(sent).toEqual(["a", "b", "c"]);
    expect(outbox.waiting).toEqual([]);
  });

  it("wait while no answer comes, outlive the page, and go over under their old ids", async () => {
    const keep = kept();
    const away = new Outbox(keep, () => Promise.resolve<Outcome>({ sent: "unreachable" }));
    await away.put(change("a"));
    await away.put(change("b"));
    expect(away.waiting.map((one) => one.id)).toEqual(["a", "b"]);

    const sent: string[] = [];
    const later = new Outbox(keep, ({ id }) => {
      sent.push(id);
      return Promise.resolve<Outcome>({ sent: "acknowledged" });
    });
    await later.flush();
    expect(sent).toEqual(["a", "b"]);
    expect(keep.text).toBe("[]");
  });

  it("that are refused are dropped and hold nothing up", async () => {
    const sent: string[] = [];
    const outbox = new Outbox(kept(), ({ id }) => {
      sent.push(id);
      return Promise.resolve<Outcome>({ sent: id === "a" ? "refused" : "acknowledged" });
    });
    await Promise.all([outbox.put(change("a")), outbox.put(change("b"))]);
    expect(sent).toEqual(["a", "b"]);
    expect(outbox.waiting).toEqual([]);
  });

  it("are begun anew where what was kept cannot be read", () => {
    const refuse = (): Promise<Outcome> => Promise.resolve({ sent: "acknowledged" });
    expect(new Outbox(kept("{oh"), refuse).waiting).toEqual([]);
    expect(new Outbox(kept('[{"id":"x"}]'), refuse).waiting).toEqual([]);
  });
});
