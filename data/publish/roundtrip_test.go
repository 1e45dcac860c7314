package publish_test

import (
	"encoding/json"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/release"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// What is published rebuilds every print, interval, source and claim exactly.
func TestWhatIsPublishedRebuildsTheFigures(t *testing.T) {
	claims := 0
	for name, d := range datasets(t) {
		for _, e := range d.engines {
			t.Run(name+"/"+e.ID.Text, func(t *testing.T) {
				text, err := json.Marshal(publish.Engine(e, d.register(e), true))
				require.NoError(t, err)
				var back release.Engine
				require.NoError(t, json.Unmarshal(text, &back))
				assert.Equal(t, e.ID.Text, back.ID)
				claims += rebuilt(t, e, e, back.Series)
				require.Len(t, back.Variants, len(e.Variants))
				for i, v := range e.Variants {
					assert.Equal(t, v.Name, back.Variants[i].Name)
					claims += rebuilt(t, e, v.Value.Engine, back.Variants[i].Series)
				}
				records(t, d, e, back.Sources)
			})
		}
	}
	assert.Greater(t, claims, 1500)
}

// rebuilt holds one series to the engine it was made from.
func rebuilt(t *testing.T, base, e *schema.Engine, s release.Series) (claims int) {
	byPath := map[string]release.Figure{}
	for _, f := range s.Figures {
		_, twice := byPath[f.Path]
		assert.False(t, twice, "%s stands twice", f.Path)
		byPath[f.Path] = f
	}
	for _, f := range e.Figures() {
		is, ok := byPath[f.Path]
		require.True(t, ok, f.Path)
		all := slices.Concat(is.Claims, contested(s.Disputed, f.Path), contested(s.SetAside, f.Path))
		require.Len(t, all, len(f.Claims), f.Path)
		for _, c := range f.Claims {
			i := slices.IndexFunc(all, func(o release.Claim) bool { return o.Key == c.Key })
			require.GreaterOrEqual(t, i, 0, "%s: claim %s", f.Path, c.Key)
			sameClaim(t, f.Path, base, c, all[i])
			claims++
		}
		delete(byPath, f.Path)
	}
	for path, f := range byPath {
		assert.Equal(t, release.Derived, f.Standing, path)
		require.NotNil(t, f.DerivedBy, path)
		assert.Empty(t, f.Claims, path)
	}
	for i, w := range e.Words() {
		assert.Equal(t, w.Path, s.Words[i].Path)
		assert.Equal(t, w.Text, strings.TrimPrefix(s.Words[i].Is, base.ID.Text+":"))
	}
	return claims
}

func contested(all []release.Contest, path string) []release.Claim {
	for _, c := range all {
		if c.Path == path {
			return c.Claims
		}
	}
	return nil
}

func sameClaim(t *testing.T, path string, base *schema.Engine, c schema.Claim, is release.Claim) {
	t.Helper()
	from := is.From
	if _, own := base.Sources.Get(c.From.Source); own {
		from = strings.TrimPrefix(from, base.ID.Text+":")
	}
	assert.Equal(t, c.From.Source, from, path)
	for _, pair := range [][2]string{{c.Printed.Text, is.Printed}, {string(c.Printed.Absence), is.Absence}, {c.Printed.Legible, is.Legible}, {c.From.Locator, is.Locator},
		{c.Note.Text, is.Note}, {c.Quote.Text, is.Quote}, {c.SeenOn.Text, is.SeenOn}, {c.SeenBy.Text, is.SeenBy}, {c.SetAside.Text, is.Because}} {
		assert.Equal(t, pair[0], pair[1], path)
	}
	var readings []release.Reading
	if len(c.Printed.Readings) > 0 {
		readings = append([]release.Reading{is.Reading}, is.Also...)
	}
	sameReadings(t, path, c.Printed.Readings, readings)
	sameReadings(t, path, c.Printed.List, is.List)
	assert.Equal(t, c.Printed.Order, is.Order, path)
	if is.Direction == nil {
		assert.Equal(t, figure.NoSense, c.Printed.Direction.Sense, path)
		return
	}
	assert.Equal(t, c.Printed.Direction.Sense.String(), is.Direction.Sense, path)
	assert.Equal(t, c.Printed.Direction.From, is.Direction.From, path)
}

func sameReadings(t *testing.T, path string, want []figure.Reading, got []release.Reading) {
	t.Helper()
	require.Len(t, got, len(want), path)
	for i, r := range want {
		is := got[i]
		exact := release.Exact{}
		if is.Exact != nil {
			exact = *is.Exact
		}
		assert.Equal(t, rational(r.Value), number(is.Value, exact.Value), path)
		assert.Equal(t, rational(r.Lo), number(is.Low, exact.Low), path)
		assert.Equal(t, rational(r.Hi), number(is.High, exact.High), path)
		assert.Equal(t, []any{r.Unit.Symbol(), r.Datum.String(), r.Measure.String(), r.At.String(), r.Mark, r.Straight, r.Approximate, r.Stated},
			[]any{is.Unit, is.Datum, is.MeasuredBy, is.MeasuredAt, is.FromMark, is.Straight, is.Approximate, is.Stated}, path)
		if assert.NotNil(t, is.SI, path) {
			within(t, path, r, *is.SI)
		}
	}
}

// within holds the SI bounds to the interval of doubles that the program works
// with, which holds the print and no more than the doubles about it.
func within(t *testing.T, path string, r figure.Reading, si release.SI) {
	t.Helper()
	const tolerance = 1e-14
	working := r.Interval()
	if si.Low != nil {
		assert.InEpsilon(t, 1+working.Lo, 1+*si.Low, tolerance, path)
	}
	if si.High != nil {
		assert.InEpsilon(t, 1+working.Hi, 1+*si.High, tolerance, path)
	}
	assert.Equal(t, []bool{r.Lo == nil, r.Hi == nil}, []bool{si.Low == nil, si.High == nil}, path)
}

func rational(x *big.Rat) string {
	if x == nil {
		return ""
	}
	return x.RatString()
}

// number is a published number as a fraction, by the one given or the decimal.
func number(x *float64, exact string) string {
	if exact != "" {
		return exact
	}
	if x == nil {
		return ""
	}
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(*x, 'g', -1, 64))
	return r.RatString()
}

// records holds the published sources to their files: all that figures cite are
// there, each whole.
func records(t *testing.T, d dataset, e *schema.Engine, published []release.Source) {
	for _, one := range e.All() {
		for _, f := range one.Figures() {
			for _, c := range f.Claims {
				if !c.From.Given() {
					continue
				}
				record, ok := d.register(e)(c.From.Source)
				require.True(t, ok, c.From.Source)
				i := slices.IndexFunc(published, func(s release.Source) bool {
					return s.ID == c.From.Source || s.ID == e.ID.Text+":"+c.From.Source
				})
				require.GreaterOrEqual(t, i, 0, c.From.Source)
				s := published[i]
				assert.Equal(t, []string{record.Type.Text, record.Title.Text, record.Author.Text, record.Publisher.Text, record.Issued.Text, record.Edition.Text,
					record.Page.Text, record.ContainerTitle.Text, record.Volume.Text, record.Number.Text, record.Accessed.Text, record.Language.Text,
					record.Archive.Text, record.URL.Text, record.Grade.Text, record.By.Text, record.On.Text, record.With.Text,
					record.Copies.Text, record.Rights.Text, record.Note.Text},
					[]string{s.Type, s.Title, s.Author, s.Publisher, s.Issued, s.Edition, s.Page, s.ContainerTitle, s.Volume, s.Number, s.Accessed,
						s.Language, s.Archive, s.URL, s.Grade, s.By, s.On, s.With, strings.TrimPrefix(s.Copies, e.ID.Text+":"), s.Rights, s.Note})
			}
		}
	}
}
