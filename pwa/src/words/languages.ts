/** The languages of the app. Another one is its texts beside en.json, its sentences in the core's catalogue, and a line here. */

/** `name` is the language's own word for itself; `numbers` is the BCP 47 tag by which its numbers are written. */
export const LANGUAGES = { en: { name: "English", numbers: "en-US" } } as const;
export type Language = keyof typeof LANGUAGES;
