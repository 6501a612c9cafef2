// No screen holds a sentence of its own: every word a person reads is in words/en.json, by message id.

import assert from "node:assert/strict";
import * as fs from "node:fs";
import * as path from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import ts from "typescript";

const root = fileURLToPath(new URL("../src/", import.meta.url));

/** What is the same in every language: names, symbols, and what only programs read. */
const NO_WORDS = new Set(["Pintail", "MB", "V", "°F", "°C", "°", "km/h", "mph", "mi", "km"]);

/** Attributes that people read or hear. */
const READ = /^(aria-label|aria-description|title|placeholder|alt|label|words)$/;

test("no screen holds a bare English sentence", () => {
  const found = sources().flatMap((file) => bareWords(file, fs.readFileSync(file, "utf8")));
  assert.deepEqual(found, []);
});

test("the check finds what it should", () => {
  const screen = (text) => bareWords("x.tsx", text).length;
  for (const text of [
    "const a = <p>Do not go</p>;", 'const a = <p title="Brakes">{b}</p>;', 'const a = <p>{b ? "It is done." : ""}</p>;', "const a = <p>{`${n} edits are kept`}</p>;",
    'const WORDS = { a: "Halt now" };', 'fail("The file could not be read.");', "const a = <b>of</b>;", 'const a = { label: "Roof" };',
  ]) {
    assert.ok(screen(text) > 0, text);
  }
  for (const text of [
    'const a = <p class="quiet wide">{t("more.units")}</p>;', 'import { a } from "./The file.ts";', "const a = <b>Pintail</b>;", 'const a = document.querySelector(".stand h3");',
    'throw new Error("the picture could not be drawn");', "const a = <p>{x} · 12 {unit}</p>;", 'event.key === "ArrowDown"', 'type A = "Some words of a type";',
  ]) {
    assert.equal(screen(text), 0, text);
  }
});

function sources() {
  return fs.readdirSync(root, { recursive: true, encoding: "utf8" })
    .filter((name) => /\.tsx?$/.test(name) && !/^(generated|engine|sw)\//.test(name))
    .map((name) => path.join(root, name));
}

function bareWords(file, text) {
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.Latest, true, file.endsWith("x") ? ts.ScriptKind.TSX : ts.ScriptKind.TS);
  const found = [];
  const bare = (node, words) => found.push(`${path.relative(root, file)}:${source.getLineAndCharacterOfPosition(node.getStart()).line + 1} ${words.trim()}`);
  const look = (node) => {
    if (ts.isImportDeclaration(node) || ts.isTypeNode(node) || isForPrograms(node)) {
      return;
    }
    if (ts.isJsxText(node)) {
      if (/\p{L}/u.test(node.text) && !node.text.split(/[^\p{L}\p{N}/°]+/u).every((word) => word === "" || NO_WORDS.has(word))) bare(node, node.text);
    } else if (ts.isJsxAttribute(node) && node.initializer && ts.isStringLiteral(node.initializer)) {
      if (READ.test(node.name.getText()) && /^[^{]*\p{L}{2}/u.test(node.initializer.text)) bare(node, node.initializer.text);
      return;
    } else if (ts.isStringLiteralLike(node)) {
      if (sentence(node.text) || labels(node)) bare(node, node.text);
    } else if (ts.isTemplateExpression(node)) {
      const words = [node.head.text, ...node.templateSpans.map(({ literal }) => literal.text)].join("§");
      if (sentence(words)) bare(node, words);
    }
    ts.forEachChild(node, look);
  };
  look(source);
  return found;
}

/** Two words and more that begin or are marked as a sentence is, or that stand around a value with nothing but words. */
function sentence(whole) {
  const text = whole.replace(/ (ft|in|lb|kg)\b/g, "");
  if (text === "Bearer §" || !/\p{L}{2,} +[\p{L}§]|§ +\p{L}{2,}/u.test(text)) {
    return false;
  }
  return /^[“"]?\p{Lu}\p{Ll}/u.test(text.trim()) || /\p{Ll}[.:!?…]( |$)|\p{Ll}, /u.test(text) || (text.includes("§") && /^[\p{L}§ ,.:;!?“”’'()]+$/u.test(text));
}

/** A property that holds a word a person reads. */
function labels(node) {
  return ts.isPropertyAssignment(node.parent) && node.parent.initializer === node && READ.test(node.parent.name.getText()) && /^\p{Lu}\p{Ll}/u.test(node.text);
}

/** What is thrown at whoever writes a program, class lists and selectors. */
function isForPrograms(node) {
  return (ts.isNewExpression(node) && /^(Error|DOMException|RegExp|Worker|URL)$/.test(node.expression.getText())) ||
    (ts.isJsxAttribute(node) && /^(class|d|viewBox|style|id|key|href)$/.test(node.name.getText())) ||
    (ts.isCallExpression(node) && /(querySelector|querySelectorAll|matchMedia|closest)$/.test(node.expression.getText()));
}
