/** The page's side of the engine. */

import type { Answer, Call, FromWorker } from "./messages.ts";
import type { ProblemDetails, Versions } from "./types.ts";

/** An answer, or the problem why there is none. `text` is the JSON as it came. */
export type Outcome<T> = { ok: true; value: T; text: string } | { ok: false; problem: ProblemDetails; text: string };

/** The engine in its worker. Calls made before it has loaded wait for it. */
export class Engine {
  /** Settles once: with what the engine is, or with why there is none. */
  readonly versions: Promise<Versions>;
  /** Resolves before any answer comes, to the English sentences by message id; never where there is no engine. */
  readonly words: Promise<Record<string, string>>;
  #worker: Worker;
  #next = 1;
  #waiting = new Map<number, { resolve: (answer: Answer) => void; reject: (reason: Error) => void }>();
  #failed: Error | undefined;
  #fail: (reason: Error) => void = () => {};

  constructor() {
    let learned: (words: Record<string, string>) => void = () => {};
    this.words = new Promise((resolve) => (learned = resolve));
    this.#worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module", name: "engine" });
    this.versions = new Promise((resolve, reject) => {
      this.#fail = (reason) => {
        this.#failed ??= reason;
        reject(reason);
        this.#waiting.forEach((call) => call.reject(reason));
        this.#waiting.clear();
      };
      this.#worker.onmessage = (event: MessageEvent<FromWorker>) => {
        const message = event.data;
        if ("versions" in message) {
          learned(JSON.parse(message.words) as Record<string, string>);
          resolve(JSON.parse(message.versions) as Versions);
        } else if ("failed" in message) {
          this.#fail(new Error(message.failed));
        } else {
          this.#waiting.get(message.id)?.resolve(message);
          this.#waiting.delete(message.id);
        }
      };
      this.#worker.onerror = (event) => this.#fail(new Error(event.message || "the worker could not be started"));
    });
    this.versions.catch(() => {}); // whoever asks is told; nobody asking is no error
  }

  /** Runs one operation. Rejects only when there is no engine. */
  run<T>(operation: string, input: string | Uint8Array): Promise<Outcome<T>> {
    return this.#ask<T>("table", operation, input);
  }

  /** Calls the journal: fold, diff, entries, merge, history, as api.Edits says. Rejects only when there is no engine. */
  edit<T>(call: string, input: string): Promise<Outcome<T>> {
    return this.#ask<T>("journal", call, input);
  }

  async #ask<T>(of: Call["of"], name: string, input: string | Uint8Array): Promise<Outcome<T>> {
    const { ok, body } = await this.#call({ id: this.#next++, of, name, input });
    return ok
      ? { ok, value: JSON.parse(body) as T, text: body }
      : { ok, problem: JSON.parse(body) as ProblemDetails, text: body };
  }

  #call(call: Call): Promise<Answer> {
    if (this.#failed) {
      return Promise.reject(this.#failed);
    }
    return new Promise((resolve, reject) => {
      this.#waiting.set(call.id, { resolve, reject });
      this.#worker.postMessage(call);
    });
  }
}
