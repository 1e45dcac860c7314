package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"fourmarks.example/data/assess"
	"fourmarks.example/lint/report"
	"fourmarks.example/schema"
)

func (p *program) assess() *cobra.Command {
	var path, variant, keep string
	var asJSON bool
	c := &cobra.Command{
		Use:   "assess ENGINE [READINGS]",
		Short: "Hold what was measured against what should be",
		Long: `assess compares readings of an engine with its figures: how far each event is
out, which explanations fit, best first, with the numbers that decide, and what
to measure next to part those that remain. It says so when it cannot tell.

READINGS is a file, or - for standard input. Without it the readings are asked
for, one by one, on a terminal; what is not known is skipped. A file holds:

  readings: 1
  read_at: checking clearance        where the engine's figures are read
  read_by: paper                     feel, feeler, paper or dial
  approached: running                which way the engine was turned up to them
  uncertainty: 1                     how far a reading may be off, either way
  backlash: 1½                       crank degrees, where it was felt
  cylinders:                         two events or more, in any notation, each
    1:                               counted from that cylinder's dead centres
      inlet_opens: [10 ATDC, 11 ATDC]
      exhaust_closes: 3 1/4 in ATDC rim

and, as far as they were read: clearance (inlet, exhaust, measured_at,
felt_again), counted_on, rim_diameter, ring_teeth, flywheel_bolts, positive_stop
(before, after), wheel_marks (by driven wheel: meet, or 1 tooth late), revolution
(ignition_at, on_the_rock), checks (compression by cylinder, vacuum, altitude).

Causes that move every event alike are one explanation; one of them is named
only when wheel marks, a positive stop or the like part it from the rest.

It ends with 0 when all is as it should be, with 1 when something is out.`,
		Example: `  Readings in a file:

    fourmarks assess penhallow/light-six readings.yaml

  Answer questions instead, and keep the answers:

    fourmarks assess penhallow/light-six --keep readings.yaml`,
		Args: cobra.RangeArgs(1, 2),
		RunE: func(c *cobra.Command, args []string) error {
			s, err := p.load(c, path, args[0], "")
			if err != nil {
				return err
			}
			file, err := p.readingsOf(c.Context(), s.engine, variant, args[1:], keep)
			if err != nil {
				return err
			}
			a, err := assessed(s.engine, variant, file)
			if err != nil {
				return err
			}
			if asJSON {
				err = report.WriteJSON(p.Out, a)
			} else {
				_, err = io.WriteString(p.Out, p.assessmentPage(s.engine, a))
			}
			if err == nil && !a.Sound() {
				return errFound
			}
			return err
		},
	}
	c.Flags().StringVar(&variant, "variant", "", "`name` of the variant; without it that of the readings, or the base")
	c.Flags().StringVar(&keep, "keep", "", "`file` to keep answers in")
	c.Flags().BoolVar(&asJSON, "json", false, "write the assessment as JSON, for programs")
	datasetFlag(c, &path)
	return c
}

// readingsOf reads the file of readings, or asks for them.
func (p *program) readingsOf(ctx context.Context, e *schema.Engine, variant string, files []string, keep string) (*schema.File, error) {
	switch {
	case len(files) == 0:
		return p.askReadings(ctx, e, variant, keep)
	case keep != "":
		return nil, errors.New("--keep keeps the answers to questions; with a file there are none")
	case files[0] == "-":
		text, err := io.ReadAll(p.In)
		return schema.ReadFile("standard input", text), err
	}
	text, err := os.ReadFile(files[0])
	if err != nil {
		return nil, err
	}
	return schema.ReadFile(files[0], text), nil
}

// assessed decodes readings and assesses them.
func assessed(e *schema.Engine, variant string, file *schema.File) (*assess.Assessment, error) {
	r, problems := schema.DecodeReadings(file)
	if len(problems) > 0 {
		return nil, &assess.Refused{Problems: problems}
	}
	switch named := r.Variant.Text; {
	case variant == "":
		variant = named
	case named != "" && named != variant:
		return nil, fmt.Errorf("%s is of variant %s, and --variant says %s", file.Name, named, variant)
	}
	if id := r.Engine.Text; id != "" && id != e.ID.Text {
		return nil, fmt.Errorf("%s is of the engine %s, and not of %s", file.Name, id, e.ID.Text)
	}
	return assess.Assess(e, variant, r)
}
