/** Prompts that are heard and felt: spoken words and a short vibration, where the device has them. */

import { useEffect } from "preact/hooks";
import type { Store } from "../store/store.ts";
import { useSetting } from "../store/use-store.ts";
import { currentReader } from "../words/reader.ts";

export const canSpeak = (): boolean => "speechSynthesis" in window;
export const canVibrate = (): boolean => "vibrate" in navigator;

export function speak(words: string): void {
  if (canSpeak()) {
    speechSynthesis.cancel();
    const said = new SpeechSynthesisUtterance(words);
    said.lang = currentReader().language;
    speechSynthesis.speak(said);
  }
}

/** What a person wants of the prompts; kept on this device. */
export function usePrompts(store: Store) {
  const [spoken, setSpoken] = useSetting<boolean>(store, "lamps_spoken", false);
  const [felt, setFelt] = useSetting<boolean>(store, "lamps_felt", true);
  return { spoken, setSpoken, felt, setFelt };
}

/** Gives each new prompt as the person wants it; a prompt that is left falls silent. */
export function usePrompt(store: Store, words: string): void {
  const { spoken, felt } = usePrompts(store);
  useEffect(() => {
    if (words === "") {
      return;
    }
    // A browser lets a page speak and shake only once somebody has touched it.
    if (!navigator.userActivation?.hasBeenActive) {
      return;
    }
    if (spoken) speak(words);
    if (felt && canVibrate()) navigator.vibrate(150);
    return () => {
      if (spoken && canSpeak()) speechSynthesis.cancel();
    };
  }, [words, spoken]);
}
