package rules

import "testing"

// sized is a file with dimensions of an engine of so many cylinders.
func sized(cylinders, dimensions string) string {
	return "layout: {cylinders: " + cylinders + ", from: handbook p. 6}\nsize:\n  {" + dimensions + ", from: handbook p. 6}\n"
}

func TestSizeFires(t *testing.T) {
	const twins = "bore: 70.0 mm, stroke: 61.5 mm, swept_volume: "
	fire(t, []trial{
		// A four of 3 7/8 by 4 1/4 in has 200.5 cu in; an encyclopaedia prints 4.125 in (check values, FLAG-01).
		{"stroke of another engine", "size/swept-volume", sized("4", "bore: 3.876 in, stroke: 4.125 in, swept_volume: 200.5 cu in"), "stroke", "194.", "", ""},
		{"half the cylinders", "size/swept-volume", sized("2", "bore: 68.0 mm, stroke: 102.0 mm, swept_volume: 1482 cc"), "swept_volume", "", "", ""},
		{"digits changed over", "size/swept-volume", sized("4", "bore: 5 in, stroke: 7 in, swept_volume: 594.78 cu in"), "swept_volume", "", "", ""},
		// 80 × 99.5 mm are 500.1 cc a cylinder, and 6:1 with a chamber of 125 cc 625.
		{"ratio and chamber of another engine", "size/swept-volume", sized("4", "bore: 80.0 mm, stroke: 99.5 mm, compression_ratio: 6.0, chamber_volume: 125 cc"), anywhere, "", "", ""},
		{"in a variant", "size/swept-volume", sized("4", "bore: 68.0 mm, stroke: 102.0 mm, swept_volume: 1482 cc") + "variants:\n  long:\n    made: 1930\n    change: {size: {stroke: {is: 120.0 mm, from: sheet p. 1}}}\n", anywhere, "1743", "long", ""},
		// Published: 5 × 7 in, four, 549.78 cu in (9.01 L); 68 × 102, four, 1482 cc; 3.5 × 4.625 in, eight, 356.
		{"published, in two units", "size/swept-volume", sized("4", "bore: 5 in, stroke: 7 in, swept_volume: 549.78 cu in (9.01 L)"), "", "", "", ""},
		{"published, metric", "size/swept-volume", sized("4", "bore: 68 mm, stroke: 102 mm, swept_volume: 1482 cc"), "", "", "", ""},
		{"published, eight", "size/swept-volume", sized("8", "bore: 3.5 in, stroke: 4.625 in, swept_volume: 356 cu in"), "", "", "", ""},
		{"worked out with 3.14", "size/swept-volume", sized("2", twins+"473.1 cc"), "", "", "", ""},
		{"rounded to the nearest ten", "size/swept-volume", sized("4", "bore: 72.0 mm, stroke: 92.0 mm, swept_volume: 1500 cc"), "", "", "", ""},
		{"bore in dispute", "size/swept-volume", sized("4", "bore: {claims: {handbook: {is: 3.876 in, from: handbook p. 1}, sheet: {is: 3.5 in, from: sheet p. 1}}}, stroke: 4.250 in, swept_volume: 200.5 cu in"), "", "", "", ""},

		// All eight twins of one list are what π = 3.14 makes (w6rec.com/duane/bmw/engine.htm); 651.88 printed as 651 is
		// published for cut off (howmotorcycleswork.com), here 99.94; 72 × 92, four, is 1498.3.
		{"3.14", "size/volume-rounding", sized("2", twins+"473.1 cc"), "473.1 cc", "π = 3.14", "", ""},
		{"cut off", "size/volume-rounding", sized("1", "bore: 50.0 mm, stroke: 50.9 mm, swept_volume: 99 cc"), "99 cc", "cut off", "", ""},
		{"to the nearest ten", "size/volume-rounding", sized("4", "bore: 72.0 mm, stroke: 92.0 mm, swept_volume: 1500 cc"), "1500 cc", "nearest ten", "", ""},
		// 3 in are 76.2 mm and not 76: with the millimetres 2722, with the inches 2737 (a six of 100 mm).
		{"from the other unit", "size/volume-rounding", sized("6", "bore: 3.000 in (76.0 mm), stroke: 100.0 mm, swept_volume: 2722 cc"), "2722 cc", "worked out from 76.0 mm", "", ""},
		{"true", "size/volume-rounding", sized("2", twins+"473.4 cc"), "", "", "", ""},
		{"of no known way", "size/volume-rounding", sized("2", twins+"743.4 cc"), "", "", "", ""},
		{"cylinders not given", "size/volume-rounding", sized("not given", twins+"473.1 cc"), "", "", "", ""},

		// 60 mm, four: 8.93; 3 7/8 in, four: 24.03; 3 3/4 in, four, is printed as 22 of 22.5 (check values, 3).
		{"digits changed over", "size/taxable-horsepower", sized("4", "bore: 60.0 mm, taxable_horsepower: 9.83"), "taxable_horsepower", "8.9", "", ""},
		{"of another bore", "size/taxable-horsepower", sized("4", "bore: 56.0 mm, taxable_horsepower: 8.9"), anywhere, "7.7", "", ""},
		{"cut off by more than one", "size/taxable-horsepower", sized("4", "bore: 3.75 in, taxable_horsepower: 21"), anywhere, "22.5", "", ""},
		{"published", "size/taxable-horsepower", sized("4", "bore: 60 mm, taxable_horsepower: 8.93"), "", "", "", ""},
		{"either of two bores", "size/taxable-horsepower", sized("4", "bore: 3.876 in, taxable_horsepower: 24.03"), "", "", "", ""},
		{"cut off", "size/taxable-horsepower", sized("4", "bore: 3.75 in, taxable_horsepower: 22"), "", "", "", ""},
		{"bore unknown", "size/taxable-horsepower", sized("4", "bore: unknown, taxable_horsepower: 22"), "", "", "", ""},

		// 2000 cc and four chambers of 125 cc: 5; swept volume over chamber, 4, is the slip (blacksunlight.com).
		{"chamber left out", "size/compression-ratio", sized("4", "swept_volume: 2000 cc, compression_ratio: 4.0, chamber_volume: 125 cc"), anywhere, "", "", ""},
		{"chamber of all cylinders", "size/compression-ratio", sized("4", "swept_volume: 2000 cc, compression_ratio: 5.0, chamber_volume: 500 cc"), "chamber_volume", "", "", ""},
		{"ratio of another series", "size/compression-ratio", sized("4", "swept_volume: 2000 cc, compression_ratio: 6.5, chamber_volume: 125 cc"), anywhere, "", "", ""},
		{"agreed", "size/compression-ratio", sized("4", "swept_volume: 2000 cc, compression_ratio: 5.0:1, chamber_volume: 125 cc"), "", "", "", ""},
		{"in cubic inches", "size/compression-ratio", sized("4", "swept_volume: 122 cu in, compression_ratio: 5, chamber_volume: 7.6 cu in"), "", "", "", ""},
		{"ratio not given", "size/compression-ratio", sized("4", "swept_volume: 2000 cc, compression_ratio: not given, chamber_volume: 125 cc"), "", "", "", ""},

		{"throw for stroke", "size/rod-ratio", sized("4", "stroke: 2 in, rod_centres: 8 in"), anywhere, "", "", ""},
		{"half the rod", "size/rod-ratio", sized("4", "stroke: 4 in, rod_centres: 4 in"), anywhere, "", "", ""},
		{"centimetres for inches", "size/rod-ratio", sized("4", "stroke: 4 in, rod_centres: 8 cm"), anywhere, "", "", ""},
		// A rod of 146 mm (1977 workshop manual, p. 74) on strokes about 78 mm; nine inches on four and a half.
		{"usual", "size/rod-ratio", sized("6", "stroke: 4 1/2 in, rod_centres: 9 in"), "", "", "", ""},
		{"shortest", "size/rod-ratio", sized("4", "stroke: 100 mm, rod_centres: 120 mm"), "", "", "", ""},
		{"rod unknown", "size/rod-ratio", sized("4", "stroke: 4 in, rod_centres: unknown"), "", "", "", ""},

		// 2 × 5 in × 2400 a minute are 2000 ft/min; 4 1/2 in at 2600 make 1950.
		{"one stroke a turn", "size/piston-speed", sized("4", "stroke: 5 in, rated_speed: 2400 rpm, piston_speed: 1000 ft/min"), anywhere, "", "", ""},
		{"metric", "size/piston-speed", sized("4", "stroke: 100.0 mm, rated_speed: 3000 rpm, piston_speed: 12.0 m/s"), anywhere, "", "", ""},
		{"rated speed of another series", "size/piston-speed", sized("6", "stroke: 4 1/2 in, rated_speed: \"3,600 rpm\", piston_speed: 1950 ft/min"), anywhere, "", "", ""},
		{"agreed", "size/piston-speed", sized("4", "stroke: 5 in, rated_speed: 2400 rpm, piston_speed: 2000 ft/min"), "", "", "", ""},
		{"metric, agreed", "size/piston-speed", sized("4", "stroke: 100.0 mm, rated_speed: 3000 rpm, piston_speed: 10.0 m/s"), "", "", "", ""},
		// 88 mm at 4200: 2425 ft/min.
		{"rounded to the nearest ten", "size/piston-speed", sized("4", "stroke: 88.0 mm, rated_speed: 4200 rpm, piston_speed: 2430 ft/min"), "", "", "", ""},
	})
}
