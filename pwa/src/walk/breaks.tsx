/** Breaks: leaving, coming back, "did you leave it?", and touching again what holds. */

import { useLayoutEffect, useRef } from "preact/hooks";
import type { Stand } from "../engine/types.ts";
import { Say, sentenceOf } from "../words/say.tsx";
import { PlacePicture } from "./place-picture.tsx";
import type { Working } from "./run-page.tsx";
import { pointer, PLACE_WORDS, stationsOf, touched } from "./walk.ts";
import { when } from "./when.ts";

/** The heading of a page that came unasked takes the focus, so that it is heard. */
function useFocus() {
  const heading = useRef<HTMLHeadingElement>(null);
  useLayoutEffect(() => heading.current?.focus(), []);
  return heading;
}

export function OnBreak({ walk, write, id }: Working & { id: string }) {
  const heading = useFocus();
  return (
    <section aria-labelledby="break-heading" class="break">
      <h2 id="break-heading" ref={heading} tabIndex={-1}>Away since {when(walk.breaks?.[id]?.left_at)}</h2>
      <p>Everything ticked so far is kept.</p>
      <button type="button" class="primary wide" onClick={() => void write([{ path: `${pointer("breaks", id)}/back_at`, value: Date.now() }])}>
        I am back at the rig
      </button>
    </section>
  );
}

export function BreakAsk({ walk, write, id, onSay }: Working & { id: string; onSay: (words: string) => void }) {
  const heading = useFocus();
  const { left_at, back_at } = walk.breaks?.[id] ?? {};
  const answer = (left: boolean) => {
    onSay(left ? "Touch again what holds." : "The list goes on where it was.");
    void write([{ path: `${pointer("breaks", id)}/left`, value: left }]);
  };
  return (
    <section aria-labelledby="ask-heading" class="break">
      <h2 id="ask-heading" ref={heading} tabIndex={-1}>Did you leave it?</h2>
      <p>Nobody was here from {when(left_at)} to {when(back_at)}. Did everybody leave the rig, or could anyone have touched it unseen?</p>
      <div class="lists">
        <button type="button" class="wide primary" onClick={() => answer(true)}>Yes, or not sure</button>
        <button type="button" class="wide" onClick={() => answer(false)}>No, one of us stood by it all the time</button>
      </div>
    </section>
  );
}

export function TouchAgain({ walk, write, device, stands, onSay }: Working & { stands: Stand[]; onSay: (words: string) => void }) {
  const heading = useFocus();
  const touch = async (stand: Stand) => {
    const rest = stands.filter((other) => other !== stand);
    await write(touched(walk, stand.step.id, device, Date.now()));
    onSay(rest[0] ? `Touched. Next: ${sentenceOf(rest[0].step.do)}` : "All of it touched. The list goes on.");
    if (rest.length > 0) heading.current?.focus();
  };
  return (
    <section aria-labelledby="again-heading" class="break">
      <h2 id="again-heading" ref={heading} tabIndex={-1}>Put a hand on what holds <span class="count">{stands.length}</span></h2>
      <p>You left the rig in between. Only what holds the vehicles together, or holds them still, is asked for again. If you are not sure where you were, begin a new list.</p>
      {stationsOf(stands).map(({ place, steps }) => (
        <div key={steps[0]?.step.id}>
          <h3 class="again-place"><PlacePicture place={place} /> {PLACE_WORDS[place]}</h3>
          <ul class="stands">
            {steps.map((stand) => (
              <li key={stand.step.id} class="stand" data-step={stand.step.id}>
                <p class="stand-do"><Say text={stand.step.do} /></p>
                {stand.step.check && <p><Say text={stand.step.check} /></p>}
                <button type="button" class="primary wide" aria-label={`Touched, and as I left it: ${sentenceOf(stand.step.do)}`} onClick={() => void touch(stand)}>
                  Touched, and as I left it
                </button>
              </li>
            ))}
          </ul>
        </div>
      ))}
    </section>
  );
}
