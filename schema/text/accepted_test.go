package text

// engineFile is a realistic file of an invented engine.
const engineFile = `format: 1
engine: tolvane/heron-four            # equals the path
title: Tolvane Heron Four
made: 1924-1930
identify:
  numbers: {from: TH101, to: TH2990, found: stamped on the nearside bearer arm}

layout:
  from: handbook-1925 p. 4
  cycle: four-stroke
  cylinders: 4
  arrangement: in-line
  numbered_from: timing end            # which end is No. 1
  rotation: clockwise seen from timing end
  firing_order: 1-2-4-3
  throws: [0, 180, 180, 0]             # crank degrees of each pin
  valve_order: E I I E E I I E
  valve_gear: side valves
  note: >-
    The valve order is read
    from the timing end.

size:
  from: handbook-1925 p. 4
  bore: 2 15/16"
  stroke: 4 3/8 in
  swept_volume: 1943 cc (118.6 cu in)
  taxable_horsepower: 13.8
  compression_ratio: approx. 4.6
  # rod length: never printed, see the drawing

clearances:
  running:
    from: handbook-1925 p. 11
    measured_at: tappet
    engine: hot
    inlet: .004"
    exhaust: .006"
  checking:
    from: setting-sheet-2
    measured_at: tappet
    engine: cold
    inlet: "0,45 mm"
    exhaust: '0,5 mm'

events:
  checking:                            # a name for the set
    from: setting-sheet-2
    cylinder: 1
    read_at: checking clearance
    inlet_opens: 4 BTDC
    inlet_closes:
      claims:
        setting-sheet-2: {is: 52½ ABDC}
        flywheel-th2207: {is: 52°30' ABDC, note: rim measured with a tape, set_aside: stamp re-cut at overhaul}
    exhaust_opens: 47 ± 3 BBDC
    exhaust_closes:

drives:
  camshaft:
    train: crankshaft > idler > camshaft     # neighbours mesh
    wheels:
      crankshaft: {teeth: 24, hand: right}
      idler: {teeth: 45}
      camshaft: {teeth: 48}
    sliding_home: {
      wheel: crankshaft,     # it slides on its splines
      travel: 1.64 in
      }
    cautions:
    - turn by the flywheel, never by the magneto
    - |
      Stop before the mark,
        then creep up to it.

accepted:
  events.checking: {events/overlap-odd: "both sheets print it: \"as drawn\""}
`

// accepted are documents within the restricted format.
var accepted = []string{
	engineFile,
	"a: 1\n",
	"a: 1",
	"a: 1\r\nb: 2\r\n",
	"a: 1\rb: 2\r",
	"\uFEFFa: 1\nb: 2\n",
	"---\na: 1\n",
	"# head\n--- # beside\na: 1\n",
	"a:\n",
	"a:",
	"a:\nb:\n",
	"a:\n  b:\n  c: 1\nd:\n",
	"a: {b: , c: 1}\n",
	"a: {b:, c: }\n",
	"a: {}\nb: []\n",
	"a: [1, 2, 3]\n",
	"a: [1, 2, 3, ]\n",
	"a: [ [1, 2], {b: c, d: [e]} ]\n",
	"a: {b: c,}\n",
	`{"a": 1, "b": [true, null, "x\ny"], "c":{"d":"e"}, "f":-1.5e3}`,
	"{\n  \"a\": 1,\n  \"b\": [\n    1,\n    2\n  ]\n}\n",
	"- a\n- b\n",
	"- a: 1\n  b: 2\n- a: 3\n",
	"-   a: 1\n    b: 2\n",
	"- - 1\n  - 2\n- - 3\n",
	"-\n  a: 1\n-\n- b\n",
	"- # comment\n  a: 1\n",
	"a:\n- 1\n- 2\nb: 3\n",
	"a:\n  - 1\n  - 2\nb: 3\n",
	"a:\n- b:\n  - 1\n  c: 2\nd: 3\n",
	"a:\n  # comment\n\n  b: 1\n # odd\n  c: 2\n# end\n",
	"a: 1 # beside\n# own\nb: 2#not\nc: x#y #z\n",
	"a: b:c\nd: http://x/y:z\ne: ::x\n",
	"a: -1\nb: -x\nc: ?x\nd: :x\n",
	"a: x - y\nb: x ? y\nc: x & y * z ! | > % @ `\n",
	"a: 2 15/16\"\nb: .004\"\nc: 5'\nd: it's \"so\"\n",
	"a: 010\nb: 0x1F\nc: 1_000\nd: 1926-1931\ne: 2025-03-02\nf: 1:30\n",
	"a: x [1] {2}, 3\n",
	"a: 0,45 mm\n",
	"a: [0,120,240]\n",
	"a: ~\nb: null\nc: yes\n",
	"\"a b\": 1\n'c''d': 2\n\"e\\tf\" : 3\ng h : 4\n",
	"'a': 'it''s'\nb: ''\nc: \"\"\n",
	"a: \"\\\" \\\\ \\/ \\t \\n \\_ \\x41 \\u00bd \\U0001F600 \\ \\\tz\"\n",
	"a: one\n  two\n\n  three\n\n\n  four\nb: 1\n",
	"a:\n  one\n  two\nb: 1\n",
	"a: one   \n    two  \nb: 1\n",
	"a: 'one\n  two\n\n  three '\nb: 1\n",
	"a: \"one  \n  two\n\n\n  three\\\n    four\\\n\n  five \\\n  six\\n\n  \"\nb: 1\n",
	"a: \"one\\t \n  two\"\n",
	"a: \"x\n\n  \"\n",
	"a: \" \n  x\"\n",
	"a: |\n  one\n   two\n\n  three\n\nb: 1\n",
	"a: |-\n  one\n\n\nb: 1\n",
	"a: |+\n  one\n\n\nb: 1\n",
	"a: |+\n  one\n\n",
	"a: |\n  one",
	"a: |2\n   one\n  two\nb: 1\n",
	"a: |1-\n   one\n  two\nb: 1\n",
	"a: |-1\n   one\n  two\nb: 1\n",
	"a: | # comment\n  # text\n  x\n# comment\nb: 1\n",
	"a: |\nb: 1\n",
	"a: |",
	"a: >-",
	"a: |\n\n\nb: 1\n",
	"a: |+\n\n\nb: 1\n",
	"a: |\n\n  one\n",
	"a: |\n  \tone\n  two\t\n",
	"a: |\r\n  one\r\n  two\r\nb: 1\r\n",
	"a: >\n  one\n  two\n\n  three\n    deeper\n  four\n\n\n  five\n\nb: 1\n",
	"a: >\n\n  one\n\n    two\n\n  three\n",
	"a: >-\n  one\n  two\n",
	"a: >+\n  one\n\n  two\n\n\n",
	"a: >\n   one\n    \n   two\n",
	"- |\n one\n- >\n two\n three\n- x\n",
	"a:\n- |\n one\n- 1\n",
	"a: {b: one\n   two, c: [x\n   y]}\n",
	"a: {b: 'one\n   two', c: \"x\n   y\"}\n",
	"a: {  # one\n  b: 1, # two\n  # three\n  c: 2 # four\n  # five\n  }\n",
	"a: [ # one\n  1, # two\n  # three\n  2 # four\n  ] # five\n",
	"a: {\"b\":1, 'c':2, d: \"e\", \"f\" : g}\n",
	"a: {b: c:d, e: f#g}\n",
	"a: 52½ ABDC\nb: 52°30' ABDC\nc: 24 ± 3\nd: 37 ?/4\n",
	"a: .inf-ish\nb: .info\nc: inf\nd: nan\n",
	"a b c: d e f\n",
	"a:   \n  b:   1   \n  \n   \nc: 2\n",
	"a: 1\n\t\nb: 2\n",
	"a:\t1\nb: x\ty\t\n",
	"a: x!y\n",
	"\"<<\": 1\n",
	"<: 1\n<<<: 2\n=======x: 3\n",
	"-x: 1\n",
	"just text\n",
	"just text\nover two lines\n",
	"\"quoted\ntext\"\n",
	"\n\n\n  a: 1\n  b: 2\n\n",
	"?a: 1\n:b: 2\n",
	"a: [?b, -c, :d]\n",
	"a:\n  - b\n  -\n    c\n  - d:\n    - e\n",
	"é: ½\nß ü: 'ö'\n",
}
