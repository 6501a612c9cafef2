/** The real engine in a process of its own, asked line by line. */

import { spawn } from "node:child_process";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import type { Outcome } from "../src/engine/client.ts";

export function startEngine() {
  const child = spawn(process.execPath, [fileURLToPath(new URL("../../test/run-engine.mjs", import.meta.url))], { stdio: ["pipe", "pipe", "inherit"] });
  const waiting: ((line: string) => void)[] = [];
  createInterface({ input: child.stdout }).on("line", (line) => waiting.shift()?.(line));
  const ask = async <T>(call: object): Promise<Outcome<T>> => {
    const line = await new Promise<string>((resolve) => {
      waiting.push(resolve);
      child.stdin.write(JSON.stringify(call) + "\n");
    });
    const { ok, body } = JSON.parse(line) as { ok: boolean; body: string };
    return ok ? { ok, value: JSON.parse(body) as T, text: body } : { ok, problem: JSON.parse(body), text: body };
  };
  return {
    run: <T>(operation: string, input: string) => ask<T>({ operation, input }),
    edit: <T>(edit: string, input: string) => ask<T>({ edit, input }),
    end: () => child.stdin.end(),
  };
}
