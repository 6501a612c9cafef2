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
//	id            jurisdiction.subject.number, never used again for another row
//	jurisdiction  ISO 3166-2
//	subject       see Subject
//	covers        whom the words cover, see Covers
//	says          absent: asks for something; silent: the section was read and asks
//	              for nothing; not_found: a search that found nothing, or sources
//	              that conflict
//	exempts_from  the subject this row excuses from, instead of asking for anything
//	joined_with   this row's condition stands inside the row named, which is
//	              evaluated in its place; this row only adds its citation and note
//	when          the condition, see Condition; absent: always
//	value, unit   the figure asked for: lamp, reflector, chain, unit (of towed
//	              vehicles), min, ft, m, mph, km_h, in the law's own unit
//	crossed       the chains must cross
//	requirement   one sentence in our own words
//	doubt         why, although the words may cover a towed car, this row does not
//	              settle the duty; it then counts as one that may not cover it
//	from, until   first day in force, first day no longer in force; absent: not known
//	citation, url, text_year, source_kind, known, note
//
// data/silent.json lists sections read in full that say nothing on a subject,
// data/definitions.json whether a jurisdiction's trailer may have motive power,
// data/jurisdictions.json the names and neighbours.
package rules
