package lamps

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// pairFinding says of tail, stop or turn lamps whether both sides light, and if
// not, what is missing.
func pairFinding(kind string, pair [2]needs) finding.Finding {
	f := finding.Finding{ID: "lamps." + kind, Area: finding.Lamps, Decides: true, Basis: []finding.Basis{asDescribed}}
	lit := count(pair)
	switch {
	case lit == nil:
		f.Verdict = finding.FindOut
		missing := that(pair, nil)
		f.Says = finding.Say("lamps.pair_unknown", finding.Params{"lamps": finding.Word("lamps.kind." + kind), "first": finding.Word(missing[0].word)})
		f.Remedy = finding.Advise("lamps.pair_unknown.remedy", nil)
		f.Fields = fields(missing)
		return f
	case *lit == 2:
		f.Verdict = finding.OK
		f.Says = finding.Say("lamps.pair_lit", finding.Params{"lamps": finding.Word("lamps.kind." + kind)})
	default:
		no := false
		missing := that(pair, &no)
		f.Verdict = finding.NoGo
		f.Says = finding.Say("lamps.pair_dark", finding.Params{
			"lamps": finding.Word("lamps.kind." + kind), "lit": finding.Num(float64(*lit), ""), "first": finding.Word(missing[0].word),
		})
		f.Remedy = finding.Advise("lamps.pair_dark.remedy", nil)
		f.Fields = fields(missing)
	}
	f.Figures = []finding.Figure{{Label: "lamps.figure.lit", Value: finding.Num(float64(*lit), "")}}
	return f
}

func fields(ns needs) []string {
	var at []string
	for _, n := range ns {
		at = append(at, n.field)
	}
	return at
}

// plateFinding: many harnesses leave the plate lamp out, and whether it must be
// lit is for local law, so it never decides here.
func plateFinding(h rig.Harness) finding.Finding {
	f := finding.Finding{ID: "lamps.plate", Area: finding.Lamps, Basis: []finding.Basis{asDescribed}}
	switch lit := plateNeeds(h).answer(); {
	case lit == nil:
		f.Verdict, f.Says = finding.FindOut, finding.Say("lamps.plate_unknown", nil)
		f.Fields = fields(that([2]needs{plateNeeds(h)}, nil))
	case *lit:
		f.Verdict, f.Says = finding.OK, finding.Say("lamps.plate_lit", nil)
	default:
		f.Verdict, f.Says = finding.Mind, finding.Say("lamps.plate_dark", nil)
		f.Fields = []string{"/harness/lamps/plate"}
		f.Remedy = finding.Advise("lamps.plate_dark.remedy", nil)
	}
	return f
}

// reflectorsWanted is one red reflector a side.
const reflectorsWanted = 2

func reflectorFinding(h rig.Harness) finding.Finding {
	f := finding.Finding{ID: "lamps.reflectors", Area: finding.Lamps, Basis: []finding.Basis{asDescribed}, Fields: []string{"/harness/lamps/reflectors"}}
	n := h.Lamps.Reflectors
	switch {
	case n == nil:
		f.Verdict, f.Says = finding.FindOut, finding.Say("lamps.reflectors_unknown", nil)
		return f
	case *n >= reflectorsWanted:
		f.Verdict, f.Says, f.Fields = finding.OK, finding.Say("lamps.reflectors_there", nil), nil
	default:
		f.Verdict, f.Says = finding.Mind, finding.Say("lamps.reflectors_few", finding.Params{"count": finding.Num(float64(*n), "")})
	}
	f.Figures = []finding.Figure{{Label: "lamps.figure.reflectors", Value: finding.Num(float64(*n), ""), Entered: true}}
	return f
}

func groundMissing(r rig.Rig) *finding.Finding {
	if !rig.Is(r.Harness.Feeds.Ground, false) {
		return nil
	}
	return &finding.Finding{
		ID: "lamps.no-ground", Area: finding.Lamps, Verdict: finding.NoGo, Decides: true,
		Says: finding.Say("lamps.no_ground", nil), Remedy: finding.Advise("lamps.no_ground.remedy", nil),
		Basis: []finding.Basis{practice}, Fields: []string{"/harness/feeds/ground"},
	}
}

func converterMissing(r rig.Rig) *finding.Finding {
	if way, _ := route(r.Harness, r.Towed); way != clash {
		return nil
	}
	return &finding.Finding{
		ID: "lamps.no-converter", Area: finding.Lamps, Verdict: finding.NoGo, Decides: true,
		Says: finding.Say("lamps.no_converter", nil), Remedy: finding.Advise("lamps.no_converter.remedy", nil),
		Basis:  []finding.Basis{solvedCircuit, opticallyCombined},
		Fields: []string{"/harness/converter", "/harness/signals", "/towed/rear_lamps"},
	}
}

// splicedOn judges a harness with nothing against back-feed. In a car with one
// lamp a side for stop and turn the signals themselves come out wrong; in others
// the feeds reach into the car's own circuits.
func splicedOn(r rig.Rig) *finding.Finding {
	if r.Harness.Approach != rig.SplicedOn {
		return nil
	}
	f := &finding.Finding{
		ID: "lamps.spliced-on", Area: finding.Lamps, Decides: true,
		Remedy: finding.Advise("lamps.spliced_on.remedy", nil),
		Basis:  []finding.Basis{solvedCircuit}, Fields: []string{"/harness/approach"},
	}
	switch r.Towed.RearLamps {
	case rig.CombinedLamps:
		f.Verdict, f.Says = finding.NoGo, finding.Say("lamps.spliced_on_combined", nil)
	case "":
		f.Verdict, f.Says = finding.FindOut, finding.Say("lamps.spliced_on_unknown", nil)
		f.Fields = append(f.Fields, "/towed/rear_lamps")
	default:
		f.Verdict, f.Says = finding.Mind, finding.Say("lamps.spliced_on_separate", nil)
	}
	return f
}

// bothLampsOnOneFeed warns where combined signals reach both the red and the
// turn lamp of a car that keeps them apart: braking then lights both.
func bothLampsOnOneFeed(r rig.Rig) *finding.Finding {
	h := r.Harness
	way, _ := route(h, r.Towed)
	lamps := h.Lamps
	both := rig.Is(lamps.Stop.Left, true) && rig.Is(lamps.Turn.Left, true) || rig.Is(lamps.Stop.Right, true) && rig.Is(lamps.Turn.Right, true)
	if way != shared || targetOf(h, r.Towed) != factoryApart || !both {
		return nil
	}
	return &finding.Finding{
		ID: "lamps.one-feed-two-lamps", Area: finding.Lamps, Verdict: finding.Mind, Decides: true,
		Says: finding.Say("lamps.one_feed_two_lamps", nil), Remedy: finding.Advise("lamps.one_feed_two_lamps.remedy", nil),
		Basis: []finding.Basis{solvedCircuit}, Fields: []string{"/harness/lamps/turn", "/harness/converter"},
	}
}

// lightTest reminds that a paper answer is not a light test.
func lightTest() finding.Finding {
	return finding.Finding{
		ID: "lamps.light-test", Area: finding.Lamps, Verdict: finding.Mind,
		Says: finding.Say("lamps.light_test", nil), Basis: []finding.Basis{practice},
	}
}

var (
	asDescribed   = finding.Basis{Kind: finding.Computed, Reference: "the harness as recorded in the rig"}
	practice      = finding.Basis{Kind: finding.Practice, Reference: "common practice of the trade"}
	solvedCircuit = finding.Basis{Kind: finding.Computed, Reference: "a reference circuit with this fault, solved beforehand; not this car's own"}
	// opticallyCombined is the rule behind FMVSS 108's wording, read in the
	// agency's letters.
	opticallyCombined = finding.Basis{Kind: finding.Standard, Reference: "49 CFR 571.108 (SAE J586): a stop signal may not come on in the lamp that is flashing"}
)
