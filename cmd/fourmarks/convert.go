package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/lint/report"
	"fourmarks.example/schema/notation"
)

// conversion is one call of convert.
type conversion struct {
	notation.Conversion
	given notation.Result
	// engine and variant name what supplied dimensions; empty without any.
	engine, variant string
}

func (p *program) convert() *cobra.Command {
	var from engineFlags
	var to []string
	var kind string
	var asJSON bool
	prints := map[notation.Name]*string{}
	c := &cobra.Command{
		Use:   "convert FIGURE [--to NOTATION…]",
		Short: "Turn a figure into any other notation, with the working",
		Long: `convert writes a setting figure in other notations and shows how, step by step,
so that it can be done again on paper. Without --to it gives everything that the
dimensions allow. Each result has the digits that the prints justify and the
range they allow.

FIGURE is a figure as its source prints it: 52 ABDC, 7/16 in BTDC piston, 1 3/8
in ABDC rim, 8 teeth ATDC, 12.86, 1 tooth, 4 thou, 80 psi, 10 DP. A number alone
is in degrees. One that begins with a minus stands behind --.

A notation is one of
  degrees, minutes          crank degrees; degrees and minutes
  BTDC, ATDC, BBDC, ABDC    counted from that dead centre
  firing                    counted from firing TDC; needs --event
  camshaft                  degrees of the camshaft
  rim                       along the rim, and straight across by a rule
  piston                    piston travel
  teeth                     teeth of the ring gear, and the nearest tooth
  wheel-teeth               teeth of the timing wheels
  fraction, 32nds, 16ths    nearest fraction of an inch, and what is left over
or a unit: mm, in, thou, turns, bar and so on. A unit beside rim or piston says
in which unit the distance is given.

The dimensions come from the flags, or from an engine of the dataset; a flag
goes before the engine.`,
		Example: `  How far after BDC the inlet closes, on the rim and by the piston:

    fourmarks convert 52 ABDC --to rim,piston --rim-diameter "16 1/4 in" --stroke "4 1/2 in" --rod "9 in"

  An old ignition setting in degrees, with the rod not known:

    fourmarks convert 7/16 in BTDC piston --to degrees --stroke "3 1/2 in"

  What one tooth of the timing wheels is on a pulley:

    fourmarks convert 1 tooth --to rim,mm --wheel-teeth 28 --rim-diameter "203 mm"

  A figure of an engine in the dataset, in every notation:

    fourmarks convert 48 ABDC --engine penhallow/light-six

  A gap and a bore in millimetres:

    fourmarks convert 4 thou --to mm
    fourmarks convert 2 15/16 in --as dimension --to mm`,
		RunE: func(c *cobra.Command, args []string) error {
			print := strings.TrimSpace(strings.Join(args, " "))
			if print == "" {
				return errors.New("say which figure: fourmarks convert 52 ABDC --to rim --rim-diameter \"16 1/4 in\"")
			}
			dims := notation.Dimensions{}
			for name, print := range prints {
				if *print == "" {
					continue
				}
				d, err := notation.ReadDimension(name, *print, "--"+string(name))
				if err != nil {
					return err
				}
				dims[name] = d
			}
			done, err := p.converted(c, print, kind, to, dims, from)
			if err != nil {
				return err
			}
			if asJSON {
				return report.WriteJSON(p.Out, done.forPrograms())
			}
			_, err = io.WriteString(p.Out, p.conversionPage(done))
			return err
		},
	}
	c.Flags().StringSliceVar(&to, "to", nil, "`notation` or unit, or several with commas; all when left out")
	c.Flags().StringVar(&kind, "as", "", "`kind` of figure, where the print does not tell: "+strings.Join(notation.Unguessed(), ", "))
	for _, name := range notation.Names() {
		prints[name] = c.Flags().String(string(name), "", fmt.Sprintf("%s, such as `%s`", name.Means(), quoted(name.Example())))
	}
	from.add(c)
	c.Flags().BoolVar(&asJSON, "json", false, "write the results as JSON, for programs")
	return c
}

// converted reads the figure and converts it with the dimensions of the flags
// and, behind them, of the engine.
func (p *program) converted(c *cobra.Command, print, kind string, to []string, dims notation.Dimensions, from engineFlags) (*conversion, error) {
	read := notation.Read
	if kind != "" {
		read = func(print string) (notation.Figure, error) { return notation.ReadAs(kind, print) }
	}
	f, err := read(print)
	if err != nil {
		return nil, err
	}
	wanted, err := f.Wanted(to...)
	if err != nil {
		return nil, err
	}
	done := &conversion{given: f.Given()}
	var remarks []string
	if from.engine != "" {
		s, err := p.load(c, from.data, from.engine, from.variant)
		if err != nil {
			return nil, err
		}
		done.engine, done.variant = s.engine.ID.Text, s.engine.Variant
		if remarks, err = supply(dims, f, s, from.part); err != nil {
			return nil, err
		}
	} else if from.variant != "" || from.part != "" || from.data != "" {
		return nil, errors.New("--variant, --part and --data say more of an engine: name it with --engine")
	}
	if done.Conversion, err = f.Convert(wanted, dims); err != nil {
		return nil, err
	}
	done.Remarks = append(done.Remarks, remarks...)
	return done, nil
}

// quoted is a print as it is typed.
func quoted(print string) string {
	if strings.Contains(print, " ") {
		return strconv.Quote(print)
	}
	return print
}
