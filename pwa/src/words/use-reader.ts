/** The reader's choices as state of a screen. */

import { useEffect, useState } from "preact/hooks";
import { currentReader, watchReader, type Reader } from "./reader.ts";

export function useReader(): Reader {
  const [reader, setReader] = useState(currentReader);
  useEffect(() => watchReader(() => setReader(currentReader())), []);
  return reader;
}
