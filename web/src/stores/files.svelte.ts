import { putFile, Refused } from "../api/client";
import { dossier } from "./dossier.svelte";
import { notices } from "./notices.svelte";

interface Going {
  readonly name: string;
  readonly share: number;
}

/** Files on their way to the dossier. */
class Files {
  going = $state<Going[]>([]);
}
export const files = new Files();

/** Sends files one after the other; answers the paths that they got. */
export async function sendFiles(
  folder: "photos" | "logs",
  chosen: readonly File[],
  shows: { readonly board?: string; readonly side?: string } = {},
): Promise<readonly string[]> {
  const got: string[] = [];
  for (const file of chosen) {
    const name = file.name || "pasted picture";
    files.going.push({ name, share: 0 });
    const mine = files.going.length - 1;
    try {
      const wish = dossier.wish();
      const answer = await putFile(
        folder,
        file,
        { id: wish.id, base: wish.base, ...shows },
        (share) => (files.going[mine] = { name, share }),
      );
      dossier.acknowledged(answer);
      if (answer.file) got.push(answer.file);
    } catch (error) {
      if (error instanceof Refused)
        notices.failed(`${name} was not taken in: ${error.trouble.what}`, error.trouble.remedy);
      else
        notices.failed(`${name} did not go over: the server does not answer.`, "Send it again once it does.");
    }
    files.going.splice(mine, 1);
  }
  await dossier.refresh();
  return got;
}
