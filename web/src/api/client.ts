import type {
  Acknowledged,
  AnalysisAnswer,
  BoardTold,
  CircuitAnswer,
  Edit,
  Json,
  PhotoTold,
  Shows,
  State,
  Trouble,
  Understood,
  Vocabulary,
} from "./types";

/** The server answered that it cannot do what was asked, and said why. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly trouble: Trouble,
  ) {
    super(trouble.what);
  }
}

/** No answer came: the server is away, or the connection is. */
export class Unreachable extends Error {}

const LONGEST_WAIT_MS = 60_000;

export async function ask(path: string, init: RequestInit = {}): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, {
      credentials: "same-origin",
      signal: AbortSignal.timeout(LONGEST_WAIT_MS),
      ...init,
    });
  } catch (cause) {
    if (init.signal?.aborted) throw cause;
    throw new Unreachable("the workbench's server does not answer", { cause });
  }
  if (answer.ok) return answer;
  throw new Refused(answer.status, await troubleOf(answer));
}

async function troubleOf(answer: Response): Promise<Trouble> {
  const plain: Trouble = {
    code: String(answer.status),
    what: `the server answered ${answer.status}`,
    where: "",
    faults: [],
    remedy: "",
  };
  try {
    return { ...plain, ...((await answer.json()) as Partial<Trouble>) };
  } catch {
    return plain;
  }
}

export async function read<T>(path: string, signal?: AbortSignal): Promise<T> {
  return (await (await ask(path, signal ? { signal } : {})).json()) as T;
}

export async function send<T>(path: string, body: object, method = "POST", signal?: AbortSignal): Promise<T> {
  const init: RequestInit = {
    method,
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  };
  return (await (await ask(path, signal ? { ...init, signal } : init)).json()) as T;
}

export const readState = (): Promise<State> => read("/api/state");
export const readAnalysis = (stage: string, wait = 0): Promise<AnalysisAnswer> =>
  read(`/api/analysis?stage=${stage}&wait=${wait}`);
export const readCircuit = (): Promise<CircuitAnswer> => read("/api/circuit");
export const readBoard = (board: string, signal?: AbortSignal): Promise<BoardTold> =>
  read(`/api/boards/${encodeURIComponent(board)}?wait=3000`, signal);
export const readPhoto = (path: string): Promise<PhotoTold> =>
  read(`/api/photos/${encodeURIComponent(path.replace(/^photos\//, ""))}`);
export const readVocabulary = (): Promise<Vocabulary> => read("/api/vocabulary");
export const readSchema = (): Promise<{ readonly [key: string]: Json }> => read("/api/schema");

export interface Wish {
  readonly id: string;
  readonly base: number;
  readonly page: string;
  readonly shows?: Shows | null;
}
export const sendEdit = (wish: Wish & { readonly edit: Edit }): Promise<Acknowledged> =>
  send("/api/edits", wish);
export const sendUndo = (wish: Wish): Promise<Acknowledged> => send("/api/undo", wish);
export const sendRedo = (wish: Wish): Promise<Acknowledged> => send("/api/redo", wish);

export const sendKeepOwn = (): Promise<State> => send("/api/outside", { keep: "own" });

export type UnderstandAs = "quantity" | "value" | "accuracy" | "marking" | "shown" | "length";
export const understand = (
  text: string,
  as: UnderstandAs,
  unit?: string,
  kind?: string,
  signal?: AbortSignal,
): Promise<Understood> =>
  send("/api/understand", { text, as, ...(unit ? { unit } : {}), ...(kind ? { kind } : {}) }, "POST", signal);

export async function readSchematic(
  shows: Shows,
  signal?: AbortSignal,
): Promise<{ svg: string; fresh: boolean }> {
  const query = new URLSearchParams({
    currents: shows.currents ? "1" : "0",
    tint: shows.tint ? "1" : "0",
    situation: shows.situation,
    style: "outside",
    wait: "2000",
  });
  const answer = await ask(`/api/schematic.svg?${query}`, signal ? { signal } : {});
  return {
    svg: await answer.text(),
    fresh: answer.headers.get("X-Fresh") !== "0",
  };
}

/** Puts a photo or a log into the dossier; `told` hears the share that has gone over, 0…1. */
export function putFile(
  folder: "photos" | "logs",
  file: File,
  wish: {
    readonly id: string;
    readonly base: number;
    readonly board?: string;
    readonly side?: string;
    readonly caption?: string;
  },
  told: (share: number) => void = () => undefined,
): Promise<Acknowledged> {
  const query = new URLSearchParams();
  for (const key of ["board", "side", "caption"] as const) if (wish[key]) query.set(key, wish[key]);
  const name = encodeURIComponent(file.name || (folder === "photos" ? "pasted.png" : "log.csv"));
  // Fetch cannot tell how far an upload has come.
  return new Promise((done, failed) => {
    const request = new XMLHttpRequest();
    request.open("PUT", `/api/files/${folder}/${name}?${query}`);
    request.setRequestHeader("X-Edit-Id", wish.id);
    request.setRequestHeader("X-Edit-Base", String(wish.base));
    request.setRequestHeader("Content-Type", file.type || "application/octet-stream");
    request.upload.onprogress = (event) => told(event.lengthComputable ? event.loaded / event.total : 0);
    request.onerror = () => failed(new Unreachable("the workbench's server does not answer"));
    request.onload = () => {
      let body: unknown;
      try {
        body = JSON.parse(request.responseText);
      } catch {
        body = {};
      }
      if (request.status < 300) return done(body as Acknowledged);
      const plain: Trouble = {
        code: String(request.status),
        what: `the server answered ${request.status}`,
        where: "",
        faults: [],
        remedy: "",
      };
      return failed(new Refused(request.status, { ...plain, ...(body as Partial<Trouble>) }));
    };
    request.send(file);
  });
}
