package rig_test

import (
	"fmt"
	"slices"
	"testing"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

// The bound of every field is held by a test of package api, which takes them
// from the contract. Here is what a bound alone does not show.

func mass(v float64, u string) *unit.Mass {
	m, err := unit.NewMass(v, u)
	if err != nil {
		panic(err)
	}
	return &m
}

func TestValidateNamesEveryPlace(t *testing.T) {
	r := &rig.Rig{}
	r.Towed.Actual.Weight = mass(43_000, "lb")
	r.Towing.GVWR = mass(-1, "kg")
	r.Coupling.Parts = map[string]rig.Part{"bar": {}, "x/y": {Kind: rig.TowBar}}
	r.Manual.Steps = map[string]rig.Step{"a": {Phase: "later", Text: "x"}}
	err := rig.Input{Rig: r}.Validate()
	if err == nil {
		t.Fatal("accepted")
	}
	var got []string
	for _, p := range err.Problems {
		if p.Code != finding.InvalidValue || p.Detail == "" {
			t.Errorf("%+v", p)
		}
		got = append(got, p.Pointer)
	}
	want := []string{
		"/rig/towing/gvwr", "/rig/towed/actual/weight", "/rig/coupling/parts/bar/kind", "/rig/coupling/parts/x~1y", "/rig/manual/steps/a/phase",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestValidateAcceptsNothingEntered(t *testing.T) {
	if err := (rig.Input{Rig: &rig.Rig{}}).Validate(); err != nil {
		t.Error(err)
	}
	if err := (rig.Input{}).Validate(); err == nil || err.Problems[0].Pointer != "/rig" {
		t.Errorf("no rig at all: got %v", err)
	}
}

func TestValidateStopsCounting(t *testing.T) {
	r := &rig.Rig{}
	r.Coupling.Cables = map[string]rig.Cable{}
	for i := range 64 {
		r.Coupling.Cables[fmt.Sprint(i)] = rig.Cable{Strength: mass(1, "lb"), PointRating: mass(1, "lb")}
	}
	err := rig.Input{Rig: r}.Validate()
	if err == nil || len(err.Problems) != 50 {
		t.Errorf("got %d problems, want the first 50", len(err.Problems))
	}
}

// A bound in pounds holds for kilograms to the gram: 400 lb is 181.436948 kg.
func TestBoundsInAnotherUnit(t *testing.T) {
	for v, possible := range map[float64]bool{181.436: false, 181.437: true, 9_071.847: true, 9_071.848: false} {
		r := &rig.Rig{}
		r.Towed.Curb = mass(v, "kg")
		if err := (rig.Input{Rig: r}).Validate(); (err == nil) != possible {
			t.Errorf("%g kg: got %v, want possible %t", v, err, possible)
		}
	}
}

func TestChainRunsFromMotorhomeToCar(t *testing.T) {
	k := rig.Coupling{Parts: map[string]rig.Part{
		"e": {Kind: rig.BasePlate}, "d": {Kind: rig.TowBar}, "a": {Kind: rig.Receiver},
		"c": {Kind: rig.Adapter, Order: 1}, "b": {Kind: rig.Adapter, Order: 2}, "f": {Kind: rig.Extension}, "g": {Kind: rig.QuickDisconnect},
	}}
	if got, want := k.Chain(), []string{"a", "f", "c", "b", "d", "g", "e"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestOrders(t *testing.T) {
	k := rig.Coupling{Cables: map[string]rig.Cable{"b": {Order: 1}, "a": {Order: 2}, "c": {Order: 1}}}
	if got, want := k.CableOrder(), []string{"b", "c", "a"}; !slices.Equal(got, want) {
		t.Errorf("cables: got %v, want %v", got, want)
	}
	m := rig.Manual{Steps: map[string]rig.Step{
		"z": {Phase: rig.HookUp, Order: 1}, "a": {Phase: rig.HookUp, Order: 2}, "u": {Phase: rig.Unhook}, "b": {Phase: rig.HookUp, Order: 2},
	}}
	if got, want := m.Phase(rig.HookUp), []string{"z", "a", "b"}; !slices.Equal(got, want) {
		t.Errorf("steps: got %v, want %v", got, want)
	}
	if got := m.Phase(rig.EngineRun); len(got) != 0 {
		t.Errorf("engine run: got %v", got)
	}
}

// What is absent stays absent: an empty rig is written as an empty object.
func TestAbsentIsNotWritten(t *testing.T) {
	b, err := strictjson.Marshal(rig.Rig{})
	if err != nil || string(b) != "{}" {
		t.Errorf("got %s (%v)", b, err)
	}
	no := false
	b, err = strictjson.Marshal(rig.Rig{BrakeUnit: rig.BrakeUnit{Fitted: &no}})
	if err != nil || string(b) != `{"brake_unit":{"fitted":false}}` {
		t.Errorf("a no is an answer: got %s (%v)", b, err)
	}
}

func TestIs(t *testing.T) {
	yes := true
	if !rig.Is(&yes, true) || rig.Is(&yes, false) || rig.Is(nil, true) || rig.Is(nil, false) {
		t.Error("Is takes an answer that was not given for one")
	}
}
