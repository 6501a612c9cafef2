import assert from "node:assert/strict";
import { test } from "node:test";
import { spokenOf, toClear } from "../src/photos/spoken.ts";
import type { Photo } from "../src/photos/photos.ts";

const DAY = 86_400_000;
const NOW = 1_764_000_000_000;
const walk = (doc: string, photo: string, at: number, finished?: number) =>
  ({ doc, document: { list: "hook_up", started: at, ...(finished !== undefined && { finished }), ticks: { pins: { me: { done: true, at, photo } }, ground: { me: { done: true } } } } });
const photo = (id: string, days: number | undefined, bytes: number): Photo =>
  ({ id, at: days === undefined ? undefined : NOW - days * DAY, picture: new Blob([new Uint8Array(bytes)]) });
const ids = (photos: Photo[]) => photos.map(({ id }) => id).join(" ");

const spoken = spokenOf(
  [walk("walk/old", "old", NOW - 100 * DAY, NOW - 100 * DAY), walk("walk/new", "new", NOW - 2 * DAY, NOW - 2 * DAY), walk("walk/open", "open", NOW - 400 * DAY)],
  [{ doc: "rig/a", document: { permission: { page_photos: { page: { on: "2024-01-01" } } } } }, { doc: "rig/b", document: { permission: "what a newer app writes" } }],
);
const photos = [photo("new", 2, 100), photo("old", 100, 100), photo("open", 400, 100), photo("page", 500, 100), photo("gone", 300, 100)];

test("what documents say of photos", () => {
  assert.deepEqual(Object.fromEntries(spoken), {
    old: { at: NOW - 100 * DAY, as: "record" }, new: { at: NOW - 2 * DAY, as: "record" }, open: { at: NOW - 400 * DAY, as: "needed" }, page: { at: undefined, as: "page" },
  });
});

test("old photos go, oldest first, never those of an open list or of a manual's page", () => {
  assert.equal(ids(toClear(photos, spoken, { older_days: 30 }, NOW)), "gone old");
  assert.equal(ids(toClear(photos, spoken, { older_days: 365 }, NOW)), "");
  assert.equal(ids(toClear(photos, spoken, "all", NOW)), "gone old new");
});

test("for room the oldest go until it is enough; what may not go counts as room used", () => {
  assert.equal(ids(toClear(photos, spoken, { leave_bytes: 500 }, NOW)), "");
  assert.equal(ids(toClear(photos, spoken, { leave_bytes: 450 }, NOW)), "gone");
  assert.equal(ids(toClear(photos, spoken, { leave_bytes: 300 }, NOW)), "gone old");
  assert.equal(ids(toClear(photos, spoken, { leave_bytes: 0 }, NOW)), "gone old new");
});

test("a photo whose day no version kept has its list's day; one of which nothing is known is not taken for old", () => {
  assert.equal(ids(toClear([photo("old", undefined, 1), photo("who knows", undefined, 1)], spoken, { older_days: 30 }, NOW)), "old");
});
