// The leaves of a schema of the contract, read from the types generated from openapi.yaml.

import { fileURLToPath } from "node:url";
import ts from "typescript";

/**
 * Every leaf of a schema: its pointer, - standing for the ids of a map, with its
 * kind, its values where it is one of several words, and its description.
 */
export function leavesOf(schema) {
  const file = fileURLToPath(new URL("../src/generated/api.ts", import.meta.url));
  const program = ts.createProgram([file], { strict: true, skipLibCheck: true, noEmit: true });
  const checker = program.getTypeChecker();
  const source = program.getSourceFile(file);
  const member = (type, name) => checker.getTypeOfSymbol(checker.getPropertyOfType(type, name));
  const components = checker.getDeclaredTypeOfSymbol(checker.getSymbolAtLocation(source).exports.get("components"));
  const leaves = [];
  const walk = (type, at, about) => {
    const plain = checker.getNonNullableType(type);
    const parts = plain.isUnion() ? plain.types : [plain];
    if (parts.every((part) => part.isStringLiteral())) {
      leaves.push({ at, kind: "choice", values: parts.map(({ value }) => value), about });
    } else if (checker.isArrayType(plain)) {
      leaves.push({ at, kind: "list", about });
    } else if (plain.getStringIndexType()) {
      walk(plain.getStringIndexType(), `${at}/-`, about);
    } else if (parts.every((part) => part.flags & ts.TypeFlags.BooleanLike)) {
      leaves.push({ at, kind: "yes_no", about });
    } else if (plain.flags & ts.TypeFlags.NumberLike) {
      leaves.push({ at, kind: "number", about });
    } else if (plain.flags & ts.TypeFlags.StringLike) {
      leaves.push({ at, kind: "text", about });
    } else if (dimensionOf(plain)) {
      leaves.push({ at, kind: dimensionOf(plain), about });
    } else {
      for (const property of plain.getProperties()) {
        walk(checker.getTypeOfSymbol(property), `${at}/${property.name}`, ts.displayPartsToString(property.getDocumentationComment(checker)) || tags(property));
      }
    }
  };
  const tags = (symbol) => symbol.getJsDocTags(checker).filter(({ name }) => name === "description").map(({ text }) => ts.displayPartsToString(text)).join(" ");
  walk(member(member(components, "schemas"), schema), "", "");
  return leaves;
}

/** A quantity is an object whose members are all units of one dimension. */
function dimensionOf(type) {
  const names = type.getProperties().map(({ name }) => name);
  const of = (...units) => names.length > 0 && names.every((name) => units.includes(name));
  return of("lb", "kg") ? "mass" : of("in", "ft", "mi", "mm", "cm", "m", "km") ? "length" : of("mph", "km_h") ? "speed" : of("f", "c") ? "temperature" : undefined;
}
