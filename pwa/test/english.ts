/** Run before the tests: what is tested speaks English, as the app does once its texts are loaded. */

import en from "../src/words/en.json" with { type: "json" };
import { speak } from "../src/words/text.ts";

speak("en", en);
