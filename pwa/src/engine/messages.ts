/** What page and worker say to each other. */

/** One call of an operation of THE TABLE, or of the journal. */
export interface Call {
  id: number;
  of: "table" | "journal";
  name: string;
  /** JSON text, or its bytes where they come from a file and may not be text. */
  input: string | Uint8Array;
}

/** The answer to the call of the same id: the answer's or the problem's JSON text. */
export interface Answer {
  id: number;
  ok: boolean;
  body: string;
}

/** What the engine in the worker is, and the sentences of its catalogue; both are JSON text. */
export interface Loaded {
  versions: string;
  words: string;
}

/** Why there is no engine; no call will be answered. */
export interface Failed {
  failed: string;
}

export type FromWorker = Answer | Loaded | Failed;
