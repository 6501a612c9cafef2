/** The jurisdictions a route is made of, and how a typed word finds them. */

export interface Place {
  code: string;
  name: string;
  neighbours: string[];
}

/** US-OR is shown as OR. */
export function shortCode(code: string): string {
  return code.slice(code.indexOf("-") + 1);
}

/**
 * The places a typed word means, best first: its code, then names that begin
 * with it, then names with a later word that begins with it. Neighbours of the
 * place before come first among equals.
 */
export function findPlaces(typed: string, places: Place[], after: string | undefined): Place[] {
  const wanted = plain(typed);
  if (wanted === "") {
    return [];
  }
  const near = new Set(places.find((place) => place.code === after)?.neighbours);
  const rank = (place: Place): number => {
    const name = plain(place.name);
    if (wanted === plain(shortCode(place.code)) || wanted === plain(place.code) || wanted === name) return 0;
    if (name.startsWith(wanted)) return near.has(place.code) ? 1 : 2;
    if (name.includes(` ${wanted}`)) return near.has(place.code) ? 3 : 4;
    return 5;
  };
  return places
    .filter((place) => rank(place) < 5)
    .sort((a, b) => rank(a) - rank(b) || a.name.localeCompare(b.name, "en"));
}

function plain(text: string): string {
  return text.trim().toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "").replace(/[.\s-]+/g, " ");
}
