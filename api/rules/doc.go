// Package rules says what the law read so far asks of a towing pair, state by
// state along a route, how well it is known, and what was not read.
//
// Nobody may mistake an unread row for law. So: a subject without a row is "not
// read", never "not required"; a section read in full that says nothing is
// "silent"; a row known from second hand or from memory (known: low) never
// decides; words about trailers reach a towed car only where the jurisdiction's
// own definition of a trailer says so, otherwise they "may not cover" it.
//
// # Row format
//
// data/rows.json is the source of truth, one row a line, edited by hand. A row
// is one requirement of one jurisdiction on one subject:
//
//	id            jurisdiction.subject.name, never used again for another row; the
//	              built-in names are numbers, a workspace's own are not
//	jurisdiction  ISO 3166-2
//	subject       see Subject
//	covers        whom the words cover, see Covers
//	says          absent: asks for something; silent: the section was read and asks
//	              for nothing; not_found: a search that found nothing, or sources
//	              that conflict
//	exempts_from  the subject this row excuses from, instead of asking for anything
//	joined_with   this row's condition stands inside the row named, which is
//	              evaluated in its place; this row only adds its citation and note
//	when          the condition, see below; absent: always
//	value, unit   the figure asked for: lamp, reflector, chain, unit (of towed
//	              vehicles), min, ft, m, mph, km_h, in the law's own unit
//	crossed       the chains must cross
//	requirement   one sentence in our own words
//	doubt         why, although the words may cover a towed car, this row does not
//	              settle the duty; it then counts as one that may not cover it
//	from, until   first day in force, first day no longer in force; absent: not known
//	citation      where it stands; missing only from what is weakly known, or from
//	              an official summary or a digest
//	url, text_year, source_kind, known
//	verified_on   the day on which somebody last held the row against the text
//	note          conflicts, visibility distances, what else the section says
//
// # Conditions
//
// A condition is all or any of several, or one test: a weight (which one is part
// of the test) over, at_least, under or up_to a mass in the law's own unit, or
// over, at_least or under a share of another weight; built_after; width_over,
// width_at_least; pair_length_over; speed_over; units_at_least, units_up_to;
// stops_within; fitted, not_fitted; duty, fails (this jurisdiction's own rule on
// brakes or stopping); link; night, day; disabled; registered_here; driveaway;
// stated, a circumstance in words. What the facts cannot answer is not known,
// never no. In one line, as a sheet writes it: see wording.go.
//
// One pattern of statute is written one way everywhere:
//
//   - Light trailers excused to a weight, a share and a stopping rule: any(gross
//     over W, gross over S % of the towing weight, fails stopping_distance) on
//     brakes, with the share as a row of its own joined with it.
//   - A duty on every vehicle with an exception for trailers only: the row above,
//     and a second row of doubtful reach (covers unclear) without a condition.
//   - A rule of performance, which a motorhome's own brakes may meet: no condition,
//     and a doubt.
//   - Brakes on all wheels or not: two stopping rows, the shorter one when fitted
//     brakes.
//   - Driveaway-towaway: an exemption when driveaway, with the doubt that a holiday
//     tow is none; a duty of such vehicles covers other. Disabled vehicles: an
//     exemption when disabled, which no trip is.
//   - A follow-on duty (breakaway where brakes are owed): duty brakes.
//   - A weight "and any with air or vacuum brakes": any(the weight, all(fitted
//     brakes, stated what works them)).
//   - "If the pair stops as well" in a clause that excuses: all(the clause,
//     stops_within the distance), or stated where the distance was not read.
//   - A duty on the sale of new vehicles: a doubt, since a private car in use may
//     not owe it.
//
// Every weight, share, date and word of a condition in a requirement or a note is
// in a field, or prose_test.go has the reason why not.
//
// # Files
//
// data/silent.json lists sections read in full that say nothing on a subject,
// data/definitions.json whether a jurisdiction's trailer may have motive power,
// data/jurisdictions.json the names and neighbours. A workspace's own rows come
// as Change and lie over these; a sheet or a list of rows is read and written by
// Import and Export.
package rules
