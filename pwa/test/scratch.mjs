import { chromium } from "playwright-core";
import { spawn } from "node:child_process";
import * as path from "node:path";
const shots = "/tmp/effw/shots";
const server = spawn("/tmp/effw/pintail", ["serve", "--demo", "--listen", "127.0.0.1:8932"], { stdio: "ignore" });
await new Promise((r) => setTimeout(r, 3000));
const A = "http://127.0.0.1:8932";
const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"] });
try {
  const { run } = await import(process.argv[2]);
  await run({ browser, A, shots, path });
} catch (e) { console.log(e); } finally { await browser.close(); server.kill(); }
