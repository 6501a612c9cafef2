package trouble

import (
	"slices"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
)

func ptr[T any](v T) *T { return &v }

// urgency is small for what should be read first.
func urgency(h Halt, a Applies) int {
	n := slices.Index(Halt("").Values(), string(h))
	if a == CannotHappen {
		n += len(Halt("").Values())
	}
	return n
}

func TestTheDataIsSound(t *testing.T) {
	catalogue := finding.Catalogue()
	if len(table()) != 32 {
		t.Errorf("%d failures, the trade's table has 32", len(table()))
	}
	seen := map[string]bool{}
	rank := 0
	for _, e := range table() {
		if seen[e.ID] {
			t.Errorf("%s stands twice", e.ID)
		}
		seen[e.ID] = true
		for _, word := range []struct {
			name, value string
			values      []string
		}{
			{"halt", string(e.Halt), Halt("").Values()}, {"go_on", string(e.GoOn), GoOn("").Values()},
		} {
			if !slices.Contains(word.values, word.value) {
				t.Errorf("%s: %s is %q", e.ID, word.name, word.value)
			}
		}
		if len(e.Symptoms) == 0 || len(e.Do) == 0 || len(e.Never) == 0 || e.Source == "" {
			t.Errorf("%s lacks something: %+v", e.ID, e)
		}
		for _, s := range e.Symptoms {
			if !slices.Contains(Symptom("").Values(), string(s)) {
				t.Errorf("%s has the symptom %q", e.ID, s)
			}
		}
		for _, id := range append([]string{e.Name, e.Signs, e.Cause, e.Stand, e.Condition}, append(e.Do, e.Never...)...) {
			if catalogue[id] == "" {
				t.Errorf("%s uses %q, which the catalogue lacks", e.ID, id)
			}
		}
		if urgency(e.Halt, "") < rank {
			t.Errorf("%s is more urgent than what stands before it", e.ID)
		}
		rank = urgency(e.Halt, "")
		if (e.GoOn == AfterFix) != (e.TestAgain != nil) {
			t.Errorf("%s: %s, test again %v: what may go on after a fix is tested first", e.ID, e.GoOn, e.TestAgain)
		}
		for _, c := range e.When {
			c.in(&rig.Rig{}) // panics on a condition nobody knows
		}
	}
	var listed []string
	for _, g := range symptoms() {
		listed = append(listed, string(g.ID))
		if !slices.Contains(Sense("").Values(), string(g.Sense)) || catalogue[g.Says] == "" {
			t.Errorf("symptom %+v", g)
		}
	}
	slices.Sort(listed)
	want := slices.Sorted(slices.Values(Symptom("").Values()))
	if !slices.Equal(listed, want) {
		t.Errorf("symptoms %v, want %v", listed, want)
	}
}

// The trade's corrections on review: nobody unhooks a burning car; nobody is
// between the vehicles while one creeps; the motorhome is held and the car
// chocked before anyone goes near a pin; without car brakes where they are
// demanded the vehicles are separated.
func TestCorrectionsHold(t *testing.T) {
	all := map[string]*Failure{}
	for _, f := range List(Input{}).Failures {
		all[f.ID] = f
	}
	says := func(texts []finding.Text, id string) bool {
		return slices.ContainsFunc(texts, func(t finding.Text) bool { return t.ID == "trouble."+id })
	}
	if f := all["fire"]; !says(f.Never, "never_burning") || f.GoOn != No || f.Halt != Now {
		t.Errorf("fire: %+v", f)
	}
	for _, f := range all {
		words := ""
		for _, d := range f.Do {
			words += " " + strings.ToLower(d.Sentence)
		}
		if strings.Contains(words, "unhook") && f.ID == "fire" {
			t.Error("nobody unhooks a burning car")
		}
		creeps := strings.Index(words, "chocks out")
		if creeps < 0 {
			continue
		}
		if rest := words[creeps:]; !strings.Contains(rest, "nobody between") && !strings.Contains(rest, "with anyone between") || !strings.Contains(rest, "motorhome held and chocks in again") {
			t.Errorf("%s: a creep with nobody between, then held and chocked again: %s", f.ID, words)
		}
	}
	for _, id := range []string{"no_car_brakes", "brakes_drag", "overload", "breakaway_dead"} {
		if !strings.Contains(strings.ToLower(all[id].Condition.Sentence), "separate the vehicles and drive them") {
			t.Errorf("%s: %s", id, all[id].Condition.Sentence)
		}
	}
	if !says(all["battery_flat"].Never, "never_umbilical_jump") {
		t.Error("nobody starts one vehicle through the umbilical")
	}
	if do := all["parking_brake"].Do; !strings.Contains(do[1].Sentence, "Chock") || !strings.Contains(do[1].Sentence, "Holding the car comes before sparing a hot disc") {
		t.Errorf("hot discs: %s", do[1].Sentence)
	}
}

// The tool writes nothing of its own about the car's drivetrain, fuses or keys,
// and the word stop belongs to lamps.
func TestNoWordOfTheDrivetrain(t *testing.T) {
	forbidden := []string{"gear", "gears", "gearbox", "shift", "shifts", "shifted", "shifting", "shifter", "neutral", "transfer", "transmission",
		"clutch", "fuse", "fuses", "key", "keys", "reverse", "selector", "park", "ignition", "axle", "stops", "stopped", "stopping"}
	for id, s := range finding.Catalogue() {
		if !strings.HasPrefix(id, "trouble.") {
			continue
		}
		words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) })
		for i, w := range words {
			if slices.Contains(forbidden, w) {
				t.Errorf("%s says %q: %s", id, w, s)
			}
			if w == "stop" && (i+1 == len(words) || !slices.Contains([]string{"lamp", "lamps", "signal", "switch"}, words[i+1])) {
				t.Errorf("%s says stop of something other than a lamp: %s", id, s)
			}
		}
	}
}

func TestMarks(t *testing.T) {
	described := rig.Rig{}
	described.BrakeUnit = rig.BrakeUnit{Fitted: ptr(true), PressesPedal: ptr(true), Actuation: rig.HydraulicSensing}
	described.Breakaway.Fitted = ptr(true)
	described.Harness.Converter = rig.NoConverter
	bare := rig.Rig{}
	bare.BrakeUnit.Fitted, bare.Breakaway.Fitted, bare.Harness.Converter = ptr(false), ptr(false), rig.NoConverter
	for name, c := range map[string]struct {
		rig    *rig.Rig
		id     string
		want   Applies
		fields int
	}{
		"NoRig":        {nil, "no_car_brakes", "", 0},
		"Described":    {&described, "no_car_brakes", CanHappen, 0},
		"PressureOnly": {&described, "false_braking", CannotHappen, 0},
		"Converter":    {&described, "converter", CannotHappen, 0},
		"Bare":         {&bare, "brakes_locked", CannotHappen, 0},
		"BareTires":    {&bare, "tire_flat", CanHappen, 0},
		"Unknown":      {&rig.Rig{}, "breakaway_pulled", NotKnown, 3},
	} {
		t.Run(name, func(t *testing.T) {
			r := List(Input{Rig: c.rig})
			i := slices.IndexFunc(r.Failures, func(f *Failure) bool { return f.ID == c.id })
			if got := r.Failures[i]; got.Applies != c.want || (got.Because != nil) != (c.want == CannotHappen) {
				t.Errorf("%s: %s, %v", c.id, got.Applies, got.Because)
			}
			n := 0
			for _, f := range r.Findings {
				n += len(f.Fields)
			}
			if n != c.fields || len(r.Failures) != len(table()) {
				t.Errorf("%d fields, want %d; %d failures", n, c.fields, len(r.Failures))
			}
		})
	}
}

// Under every symptom something is found; the list is a part of the whole, most
// urgent first, with what cannot happen at its end.
func TestFilter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rig.Rig{}
		maybe := rapid.SampledFrom([]*bool{nil, ptr(true), ptr(false)})
		r.BrakeUnit.Fitted, r.BrakeUnit.PressesPedal, r.Breakaway.Fitted = maybe.Draw(t, "unit"), maybe.Draw(t, "pedal"), maybe.Draw(t, "kit")
		r.BrakeUnit.Actuation = rig.Actuation(rapid.SampledFrom(append([]string{""}, rig.Actuation("").Values()...)).Draw(t, "type"))
		r.Harness.Converter = rig.Converter(rapid.SampledFrom(append([]string{""}, rig.Converter("").Values()...)).Draw(t, "converter"))
		s := Symptom(rapid.SampledFrom(Symptom("").Values()).Draw(t, "symptom"))
		report := List(Input{Symptom: s, Rig: &r})
		i := slices.IndexFunc(report.Symptoms, func(g SymptomGroup) bool { return g.Symptom == s })
		if len(report.Failures) == 0 || len(report.Failures) != report.Symptoms[i].Failures {
			t.Fatalf("%d failures under %s, the group says %d", len(report.Failures), s, report.Symptoms[i].Failures)
		}
		rank, unknown := 0, false
		for _, f := range report.Failures {
			if !slices.Contains(f.Symptoms, s) {
				t.Fatalf("%s does not show %s", f.ID, s)
			}
			if urgency(f.Halt, f.Applies) < rank {
				t.Fatalf("%s stands too late", f.ID)
			}
			rank, unknown = urgency(f.Halt, f.Applies), unknown || f.Applies == NotKnown
		}
		if unknown != (len(report.Findings) == 1) {
			t.Fatalf("not known %t, findings %v", unknown, report.Findings)
		}
	})
}

// FuzzList: whatever the bytes, an input is refused or gives a list that can be
// written.
func FuzzList(f *testing.F) {
	for _, seed := range []string{`{}`, `{"symptom":"smoke"}`, `{"symptom":"Smoke"}`, `{"rig":{}}`, `{"rig":{"brake_unit":{"fitted":true,"actuation":"surge"}},"symptom":"monitor"}`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var in Input
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		if _, err := strictjson.Marshal(List(in)); err != nil {
			t.Fatal(err)
		}
	})
}

func TestValidate(t *testing.T) {
	for body, pointer := range map[string]string{
		`{"symptom":"odd"}`:               "/symptom",
		`{"rig":{"stopping":{"on":"x"}}}`: "/rig/stopping/on",
	} {
		var in Input
		if err := strictjson.Unmarshal([]byte(body), &in); err != nil {
			t.Fatal(err)
		}
		if err := in.Validate(); err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("%s: %v, want a problem at %s", body, err, pointer)
		}
	}
}
