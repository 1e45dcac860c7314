package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/data/sheet"
	"fourmarks.example/data/sheet/forms"
	"fourmarks.example/data/store"
	"fourmarks.example/lint/report"
	"fourmarks.example/schema/figure"
)

func (p *program) sheet() *cobra.Command {
	var path, variant, units, htmlFile, svgFile string
	var asJSON bool
	var o sheet.Options
	c := &cobra.Command{
		Use:   "sheet ENGINE",
		Short: "The setting sheet of an engine, for the bench",
		Long: `sheet sets out what is needed to set an engine: how to tell which it is, the
clearances, the position of the engine in which each valve is set, the four
events in degrees, along the rim, by a straight rule, by piston travel and in
teeth of the ring gear, the drives with their directions, the ignition, what a
healthy engine shows, and the last step.

Every figure carries the mark of its source and how far it is established, or
is marked ~ and carries the interval that the printed figures leave it.

ENGINE is an id, or words that only one engine fits.`,
		Example: `  On the terminal:

    fourmarks sheet penhallow/light-six

  On paper, for an engine with another flywheel, at 3000 ft:

    fourmarks sheet penhallow/light-six --rim-diameter "15 in" --altitude "3000 ft" --html light-six.html

  The timing diagram alone:

    fourmarks sheet penhallow/light-six --svg light-six.svg`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			system, ok := figure.SystemNamed(units)
			if !ok {
				return fmt.Errorf("%q is no choice of units; one of: %s", units, strings.Join(figure.Systems(), ", "))
			}
			if c.Flags().Changed("cylinder") && o.Cylinder < 1 {
				return fmt.Errorf("there is no cylinder %d: cylinders are numbered from 1", o.Cylinder)
			}
			o.Units = system
			s, err := p.load(c, path, args[0], variant)
			if err != nil {
				return err
			}
			made, err := sheet.Make(s.engine, s.lookup, o)
			if err != nil {
				return err
			}
			switch {
			case asJSON:
				return report.WriteJSON(p.Out, made)
			case htmlFile != "":
				return p.sheetPage(c, made, htmlFile)
			case svgFile != "":
				return p.sheetDrawing(c, made, svgFile)
			}
			_, err = io.WriteString(p.Out, forms.Text(forms.Of(made), p.width()))
			return err
		},
	}
	c.Flags().StringVar(&variant, "variant", "", "`name` of the variant; without it, the base")
	c.Flags().StringVar(&o.Altitude, "altitude", "", "`altitude` where the engine stands, such as \"1500 ft\": corrects what a healthy engine shows")
	c.Flags().StringVar(&o.RimDiameter, "rim-diameter", "", "`diameter` of the flywheel that is on the engine, such as \"16 1/4 in\"")
	c.Flags().StringVar(&o.Disc, "disc", "", "`diameter` of a timing disc clamped to the crankshaft, such as \"8 in\"")
	c.Flags().IntVar(&o.Cylinder, "cylinder", 1, "`number` of the cylinder whose events are read")
	c.Flags().StringVar(&units, "units", "as-printed", "`units` of distances and beside prints: "+strings.Join(figure.Systems(), ", "))
	c.Flags().StringVar(&htmlFile, "html", "", "write the sheet as a page for paper and screen to `file`; - is the standard output")
	c.Flags().StringVar(&svgFile, "svg", "", "write the timing diagram to `file`; - is the standard output")
	c.Flags().BoolVar(&asJSON, "json", false, "write the sheet as JSON, for programs")
	c.MarkFlagsMutuallyExclusive("html", "svg", "json")
	datasetFlag(c, &path)
	return c
}

// sheetPage writes the HTML form to a file.
func (p *program) sheetPage(c *cobra.Command, s *sheet.Sheet, file string) error {
	drawing := ""
	if d, ok := s.Diagram(); ok {
		drawing = d.SVG()
	}
	var b bytes.Buffer
	if err := forms.HTML(&b, forms.Of(s), drawing); err != nil {
		return err
	}
	return p.toFile(c, file, b.Bytes())
}

// sheetDrawing writes the timing diagram to a file.
func (p *program) sheetDrawing(c *cobra.Command, s *sheet.Sheet, file string) error {
	d, ok := s.DiagramAlone()
	if !ok {
		return errors.New("there is nothing to draw: no event of a four-stroke cycle is known of this engine")
	}
	return p.toFile(c, file, []byte(d.SVG()))
}

// toFile writes a whole file or nothing; - is the standard output.
func (p *program) toFile(c *cobra.Command, file string, content []byte) error {
	if file == "-" {
		_, err := p.Out.Write(content)
		return err
	}
	if err := store.WriteFile(c.Context(), file, content); err != nil {
		return err
	}
	p.remark("wrote %s", file)
	return nil
}
