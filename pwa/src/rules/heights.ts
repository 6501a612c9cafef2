/** How tall the items of a long list are: as measured, or as guessed from those measured. */

export class Heights {
  #measured = new Map<string, number>();
  #keys: string[] = [];
  #tops: number[] | undefined;
  #guess: number;

  constructor(guess: number) {
    this.#guess = guess;
  }

  /** Sets which items there are, in order. Heights measured before stay known. */
  lay(keys: string[]): void {
    this.#keys = keys;
    this.#tops = undefined;
  }

  /** Notes a height. Reports whether it was another one. */
  measure(key: string, height: number): boolean {
    const before = this.#measured.get(key);
    if (before !== undefined && Math.abs(before - height) < 1) {
      return false;
    }
    this.#measured.set(key, height);
    this.#tops = undefined;
    return true;
  }

  forget(): void {
    this.#measured.clear();
    this.#tops = undefined;
  }

  /** The height of all items before this one. */
  before(at: number): number {
    return this.#laid()[Math.min(at, this.#keys.length)] ?? 0;
  }

  /** The height of the items from this one to the end. */
  after(at: number, end: number): number {
    return this.before(end) - this.before(at);
  }

  /** The items, from the first to the one after the last, that lie between two heights. */
  within(top: number, bottom: number): [from: number, to: number] {
    const from = Math.max(0, this.#at(top) - 1);
    return [from, Math.min(this.#keys.length, Math.max(from + 1, this.#at(bottom) + 1))];
  }

  /** The first item that begins below a height. */
  #at(height: number): number {
    const tops = this.#laid();
    let low = 0;
    let high = this.#keys.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((tops[middle] ?? 0) < height) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  #laid(): number[] {
    if (!this.#tops) {
      let top = 0;
      this.#tops = [0];
      for (const key of this.#keys) {
        top += this.#measured.get(key) ?? this.#guess;
        this.#tops.push(top);
      }
    }
    return this.#tops;
  }
}
