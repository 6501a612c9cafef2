/** A copy of a rig that a server showed, and what version 1 of the database kept of the phone's own. */
export interface Kept {
  /** "server:" or "phone:" and an id. */
  id: string;
  name: string;
  /** Motorhome and towed car, in the words of whoever entered them. */
  about: string;
  /** The rig's JSON text. */
  text: string;
  /** The trip that came with it, as JSON text. */
  trip?: string;
  from: "server" | "phone";
  /** The server's revision of it. */
  revision?: number;
}
