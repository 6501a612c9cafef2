package rules

// Subject is what a rule is about.
type Subject string

// The subjects.
const (
	Brakes            Subject = "brakes"
	BrakesShare       Subject = "brakes_share" // brakes owed because of the car's share of the motorhome's weight
	Breakaway         Subject = "breakaway"
	SafetyChain       Subject = "safety_chain"
	TailLamps         Subject = "tail_lamps"
	StopLamps         Subject = "stop_lamps"
	TurnSignals       Subject = "turn_signals"
	PlateLamp         Subject = "plate_lamp"
	Reflectors        Subject = "reflectors"
	ClearanceLamps    Subject = "clearance_lamps"
	CouplingLength    Subject = "coupling_length"
	CombinationLength Subject = "combination_length"
	TowedUnits        Subject = "towed_units"
	Speed             Subject = "speed"
	StoppingDistance  Subject = "stopping_distance"  // of the pair, from 20 mph
	RestrictedRoads   Subject = "restricted_roads"   // where a towing pair may not go
	TowedBrakeExempt  Subject = "towed_brake_exempt" // what excuses a towed car from brakes
)

// subjects in the order of a report.
var subjects = [...]Subject{
	Brakes, BrakesShare, Breakaway, SafetyChain, TailLamps, StopLamps, TurnSignals, PlateLamp, Reflectors,
	ClearanceLamps, CouplingLength, CombinationLength, TowedUnits, Speed, StoppingDistance, RestrictedRoads, TowedBrakeExempt,
}

// Values lists the subjects in the order of a report.
func (Subject) Values() []string {
	v := make([]string, len(subjects))
	for i, s := range subjects {
		v[i] = string(s)
	}
	return v
}

// index is the place of the subject in subjects, -1 if it is none.
func (s Subject) index() int {
	for i, x := range subjects {
		if x == s {
			return i
		}
	}
	return -1
}

// message is the id of the subject's name in the catalogue.
func (s Subject) message() string {
	if i := s.index(); i >= 0 {
		return subjectMessages[i]
	}
	return ""
}

// subjectMessages are the ids of the subjects' names, in the order of subjects.
var subjectMessages = func() (ids [len(subjects)]string) {
	for i, s := range subjects {
		ids[i] = "law.subject." + string(s)
	}
	return ids
}()

// Covers is whom the words of a rule cover.
type Covers string

// The kinds of words.
const (
	AnyTowedVehicle   Covers = "any_towed_vehicle"
	TowedMotorVehicle Covers = "towed_motor_vehicle"
	Trailer           Covers = "trailer"
	Unclear           Covers = "unclear"
	OtherThing        Covers = "other" // a thing no towed car is: camp trailers, disabled vehicles, vehicles in transit
)

// Values lists the kinds.
func (Covers) Values() []string {
	return []string{"any_towed_vehicle", "towed_motor_vehicle", "trailer", "unclear", "other"}
}

// Says is what a row reports, when that is not a requirement.
type Says string

// What a row may report.
const (
	SaysSilent   Says = "silent"
	SaysNotFound Says = "not_found"
)

// Values lists them.
func (Says) Values() []string { return []string{"silent", "not_found"} }

// Known says how well a row is known.
type Known string

// How well a row may be known.
const (
	High   Known = "high"   // the text was read and is clear
	Medium Known = "medium" // a summary, a digest, or the text in a reprint
	Low    Known = "low"    // second-hand, conflicting, or from memory
)

// Values lists the grades.
func (Known) Values() []string { return []string{"high", "medium", "low"} }

// SourceKind is the kind of thing that was read.
type SourceKind string

// The kinds of source.
const (
	StatuteText     SourceKind = "statute_text"
	OfficialSummary SourceKind = "official_summary"
	Digest          SourceKind = "digest"
	Secondary       SourceKind = "secondary"
	FromMemory      SourceKind = "memory"
)

// Values lists the kinds.
func (SourceKind) Values() []string {
	return []string{"statute_text", "official_summary", "digest", "secondary", "memory"}
}

// Requirement is what the rows read say of one subject in one jurisdiction.
type Requirement string

// What the rows may say.
const (
	Required    Requirement = "required"
	Depends     Requirement = "depends"       // required or not by a figure or circumstance that is not known
	MayNotCover Requirement = "may_not_cover" // required of something; the words may not cover a towed car
	NotRequired Requirement = "not_required"  // a row was read and its condition is not met, or it excuses this car
	Silent      Requirement = "silent"        // read in full, and nothing is said
	NotRead     Requirement = "not_read"
)

// Values lists them.
func (Requirement) Values() []string {
	return []string{"required", "depends", "may_not_cover", "not_required", "silent", "not_read"}
}

// duty is a Requirement as evaluation keeps it.
type duty uint8

const (
	dutyNotRead duty = iota
	dutySilent
	dutyNotRequired
	dutyMayNotCover
	dutyDepends
	dutyRequired
)

func (d duty) word() Requirement {
	return [...]Requirement{NotRead, Silent, NotRequired, MayNotCover, Depends, Required}[d]
}

// asked reports whether something is asked, or may be.
func (d duty) asked() bool { return d >= dutyMayNotCover }

// read reports whether the law read says something.
func (d duty) read() bool { return d >= dutyNotRequired }

// Met is whether the rig meets what is asked.
type Met string

// Whether it does.
const (
	IsMet    Met = "met"
	NotMet   Met = "not_met"
	NotKnown Met = "not_known"
	None     Met = "none" // nothing is asked, or nothing is known to be
)

// Values lists them.
func (Met) Values() []string { return []string{"met", "not_met", "not_known", "none"} }

// fit is a Met as evaluation keeps it.
type fit uint8

const (
	fitNone fit = iota
	fitNotKnown
	fitNotMet
	fitMet
)

func (f fit) word() Met { return [...]Met{None, NotKnown, NotMet, IsMet}[f] }

// Coverage is how far one subject of one jurisdiction was read.
type Coverage string

// How far a subject may have been read.
const (
	CoverageRead     Coverage = "read"
	CoveragePartly   Coverage = "partly" // only from second hand or memory, or the words do not say whom they cover
	CoverageSilent   Coverage = "silent" // read in full, and nothing is said
	CoverageNotFound Coverage = "not_found"
)

// Values lists them.
func (Coverage) Values() []string { return []string{"read", "partly", "silent", "not_found"} }
