/** The web worker that holds the engine: the same core as the server, as WebAssembly. */

import "../generated/wasm_exec.js";
import engineURL from "../generated/engine.wasm?url";
import type { Call, FromWorker } from "./messages.ts";

declare const self: DedicatedWorkerGlobalScope;

/** What the engine puts into the global scope; pwa/engine/main.go says what each does. */
interface PintailEngine {
  versions(): string;
  words(): string;
  run(operation: string, input: Uint8Array): { ok: boolean; body: string };
  edit(call: string, input: Uint8Array): { ok: boolean; body: string };
}
declare global {
  var pintailEngine: PintailEngine;
  /** Go's own loader, from wasm_exec.js. */
  var Go: new () => { importObject: WebAssembly.Imports; run(instance: WebAssembly.Instance): Promise<void> };
}

const say = (message: FromWorker) => self.postMessage(message);

const loaded = load();
loaded.then(
  () => say({ versions: pintailEngine.versions(), words: pintailEngine.words() }),
  (reason: unknown) => say({ failed: String(reason instanceof Error ? reason.message : reason) }),
);

self.onmessage = async (event: MessageEvent<Call>) => {
  const { id, of, name, input } = event.data;
  try {
    await loaded;
  } catch {
    return; // already said that it failed
  }
  const bytes = typeof input === "string" ? new TextEncoder().encode(input) : input;
  say({ id, ...(of === "table" ? pintailEngine.run(name, bytes) : pintailEngine.edit(name, bytes)) });
};

async function load(): Promise<void> {
  const go = new Go();
  const { instance } = await instantiate(go.importObject);
  const ended = go.run(instance);
  ended.then(() => say({ failed: "the engine ended" }));
}

async function instantiate(imports: WebAssembly.Imports): Promise<WebAssembly.WebAssemblyInstantiatedSource> {
  const response = await fetch(engineURL);
  if (!response.ok) {
    throw new Error(`the engine could not be fetched (${response.status})`);
  }
  if (response.headers.get("Content-Type") === "application/wasm") {
    return WebAssembly.instantiateStreaming(response, imports);
  }
  return WebAssembly.instantiate(await response.arrayBuffer(), imports);
}
