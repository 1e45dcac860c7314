package main

import (
	"math/big"

	"fourmarks.example/convert/interval"
	"fourmarks.example/schema/notation"
)

// conversionJSON is what convert --json writes.
type conversionJSON struct {
	Given   givenJSON    `json:"given"`
	Results []resultJSON `json:"results"`
	Used    []usedJSON   `json:"used"`
	Engine  string       `json:"engine"`
	Variant string       `json:"variant"`
	Remarks []string     `json:"remarks"`
	Caution string       `json:"caution"`
	// Lacking says what more there could be with which flags.
	Lacking []lackingJSON `json:"lacking"`
}

type givenJSON struct {
	Printed string `json:"printed"`
	Kind    string `json:"kind"`
	numbersJSON
}

// numbersJSON are a result in numbers; null for an open bound, and for a value
// that nothing singles out.
type numbersJSON struct {
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	Value *float64 `json:"value"`
	Unit  string   `json:"unit"`
}

type resultJSON struct {
	Notation string `json:"notation"`
	Printed  string `json:"printed"`
	numbersJSON
	// Exact is the value as a fraction where the conversion is exact, else empty.
	Exact    string   `json:"exact"`
	LeftOver string   `json:"left_over"`
	Working  []string `json:"working"`
}

type usedJSON struct {
	What      string `json:"what"`
	Printed   string `json:"printed"`
	From      string `json:"from"`
	InsteadOf string `json:"instead_of"`
}

type lackingJSON struct {
	What  string   `json:"what"`
	Flags []string `json:"flags"`
}

func (c *conversion) forPrograms() conversionJSON {
	out := conversionJSON{Given: givenJSON{Printed: c.given.Printed, Kind: c.Figure.KindName(), numbersJSON: numbers(c.given)},
		Results: []resultJSON{}, Used: []usedJSON{}, Engine: c.engine, Variant: c.variant,
		Remarks: append([]string{}, c.Remarks...), Caution: c.Caution, Lacking: []lackingJSON{}}
	for _, r := range c.Results {
		one := resultJSON{Notation: string(r.Notation), Printed: r.Printed, numbersJSON: numbers(r), LeftOver: r.Rest, Working: []string{}}
		if r.Exact && r.Value != nil {
			one.Exact = r.Value.RatString()
		}
		for _, s := range r.Working {
			one.Working = append(one.Working, s.String())
		}
		out.Results = append(out.Results, one)
	}
	for _, u := range c.Used {
		out.Used = append(out.Used, usedJSON{What: string(u.What), Printed: u.Text, From: u.From, InsteadOf: u.InsteadOf})
	}
	for _, m := range c.Lacking {
		one := lackingJSON{What: m.For}
		for _, n := range m.AnyOf {
			one.Flags = append(one.Flags, "--"+string(n))
		}
		out.Lacking = append(out.Lacking, one)
	}
	return out
}

// numbers gives bounds rounded outward, so that they hold the exact ones.
func numbers(r notation.Result) numbersJSON {
	bound := func(x *big.Rat, of func(interval.Interval) float64) *float64 {
		if x == nil {
			return nil
		}
		y := of(interval.FromRat(x, x))
		return &y
	}
	return numbersJSON{
		Low:   bound(r.Low, func(is interval.Interval) float64 { return is.Lo }),
		High:  bound(r.High, func(is interval.Interval) float64 { return is.Hi }),
		Value: number(r.Value), Unit: r.UnitName(),
	}
}
