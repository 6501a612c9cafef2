/** What a brake unit is for, as a person answers it. */

import type { ChoiceInput } from "../engine/types.ts";

type Answer = "" | "yes" | "no";

/** Empty is not known. */
export interface Use {
  terrain: "" | "level" | "hills" | "mountains";
  rough: Answer;
  /** Whether it is to serve more than one. */
  cars: Answer;
  motorhomes: Answer;
}

/** The use for the engine; what is not known is absent. More than one is two: the judgment turns on no other number. */
export function choiceInput({ terrain, rough, cars, motorhomes }: Use): Omit<ChoiceInput, "rig"> {
  const count = (several: Answer) => (several === "yes" ? 2 : 1);
  return {
    ...(terrain !== "" && { terrain }),
    ...(rough !== "" && { rough_roads: rough === "yes" }),
    ...(cars !== "" && { cars: count(cars) }),
    ...(motorhomes !== "" && { motorhomes: count(motorhomes) }),
  };
}
