// Builds the browser app into dist: packages, types, engine, app, compression,
// in that order. `node build.mjs` does all of it; `types`, `engine` or `app` after
// it do that step and what it needs, `app` with the engine built before. A step
// whose inputs have not changed is skipped.

import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import * as fs from "node:fs";
import * as path from "node:path";
import { fileURLToPath } from "node:url";
import * as zlib from "node:zlib";
import { mergeData } from "./merge-data.mjs";

const here = path.dirname(fileURLToPath(import.meta.url));
const at = (...parts) => path.join(here, ...parts);
const generated = at("src", "generated");
const dist = at("dist");

// Inlining is off: the engine is then a tenth smaller on the wire, and fast
// enough. No commit is stamped into it: the same source gives the same file, so
// that a phone does not fetch 1 MB again for a change elsewhere.
const ENGINE_FLAGS = ["-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-gcflags=all=-l"];

const steps = { install, types, engine, app };
const asked = process.argv[2] ?? "all";
const wanted = { types: ["install", "types"], engine: ["engine"], app: ["install", "types", "app"], all: ["install", "types", "engine", "app"] }[asked];
if (!wanted) {
  console.error(`build.mjs: want nothing, types, engine or app, not ${asked}`);
  process.exit(2);
}
fs.mkdirSync(generated, { recursive: true });
for (const name of wanted) {
  steps[name]();
}

function install() {
  once("install", [at("package-lock.json"), at("package.json")], [at("node_modules", "vite")], () => {
    // The folder is named: an outer npm --prefix would be taken for this one's.
    run("npm", ["ci", "--prefix", here, "--ignore-scripts", "--no-audit", "--no-fund"]);
  });
}

function types() {
  const contract = at("..", "openapi.yaml");
  const out = path.join(generated, "api.ts");
  once("types", [contract, at("package-lock.json")], [out], () => {
    run(process.execPath, [at("node_modules", "openapi-typescript", "bin", "cli.js"), contract, "-o", out]);
  });
}

// The Go command knows best what has changed, so it is always asked.
function engine() {
  const env = { ...process.env, GOOS: "js", GOARCH: "wasm" };
  // The loader comes from the compiler that builds the engine: the two must match.
  const goroot = execFileSync("go", ["env", "GOROOT"], { cwd: here, encoding: "utf8" }).trim();
  fs.copyFileSync(path.join(goroot, "lib", "wasm", "wasm_exec.js"), path.join(generated, "wasm_exec.js"));
  const whole = at(".build", "engine.wasm");
  fs.mkdirSync(path.dirname(whole), { recursive: true });
  run("go", ["build", ...ENGINE_FLAGS, "-o", whole, "./engine"], env);
  const slimmed = at(".build", "slimmed.wasm");
  run("go", ["run", "./slim", whole, slimmed]);
  fs.writeFileSync(path.join(generated, "engine.wasm"), mergeData(fs.readFileSync(slimmed)));
}

function app() {
  const inputs = [
    generated, at("src"), at("public"), at("index.html"), at("vite.config.mjs"), at("build.mjs"), at("package-lock.json"),
    at("..", "api", "finding", "catalogue"),
  ];
  once("app", inputs, [path.join(dist, "index.html.br"), path.join(dist, "sw.js.br")], () => {
    for (const name of fs.readdirSync(dist)) {
      if (name !== ".gitkeep") {
        fs.rmSync(path.join(dist, name), { recursive: true });
      }
    }
    run(process.execPath, [at("node_modules", "vite", "bin", "vite.js"), "build", "--logLevel", "warn"]);
    filesUnder(dist).filter((file) => /\.(html|js|css|wasm|svg|webmanifest|json)$/.test(file)).forEach(compress);
  });
}

function compress(file) {
  const bytes = fs.readFileSync(file);
  const params = {
    [zlib.constants.BROTLI_PARAM_QUALITY]: zlib.constants.BROTLI_MAX_QUALITY,
    [zlib.constants.BROTLI_PARAM_LGWIN]: zlib.constants.BROTLI_MAX_WINDOW_BITS,
    [zlib.constants.BROTLI_PARAM_SIZE_HINT]: bytes.length,
  };
  fs.writeFileSync(file + ".br", zlib.brotliCompressSync(bytes, { params }));
}

/** Does the step unless its outputs are there and its inputs are as they were then. */
function once(name, inputs, outputs, step) {
  const stamp = path.join(generated, `.${name}.stamp`);
  const digest = digestOf(inputs.flatMap(filesUnder).filter((file) => !file.endsWith(".stamp")));
  const before = fs.existsSync(stamp) ? fs.readFileSync(stamp, "utf8") : "";
  if (before === digest && outputs.every((file) => fs.existsSync(file))) {
    return;
  }
  console.log(`pwa: ${name}`);
  step();
  fs.writeFileSync(stamp, digest);
}

function digestOf(files) {
  const hash = createHash("sha256");
  for (const file of files.sort()) {
    hash.update(path.relative(here, file)).update("\0").update(fs.readFileSync(file)).update("\0");
  }
  return hash.digest("hex");
}

function filesUnder(entry) {
  if (!fs.statSync(entry).isDirectory()) {
    return [entry];
  }
  return fs.readdirSync(entry).flatMap((name) => filesUnder(path.join(entry, name)));
}

function run(command, args, env = process.env) {
  execFileSync(command, args, { cwd: here, stdio: "inherit", env });
}
