/** Brings the texts of the languages: files beside the scripts, kept for offline use like them. */

import { LANGUAGES, type Language } from "./languages.ts";
import { speak, type Texts } from "./text.ts";

const files = import.meta.glob<string>("./*.json", { eager: true, query: "?url", import: "default" });

/** Resolves when the app can speak; rejects where a file cannot be had. */
export async function loadTexts(): Promise<void> {
  await Promise.all((Object.keys(LANGUAGES) as Language[]).map(async (language) => {
    const answer = await fetch(files[`./${language}.json`] as string);
    if (!answer.ok) throw new Error(`the texts of ${language}: ${answer.status}`);
    speak(language, (await answer.json()) as Texts);
  }));
}
