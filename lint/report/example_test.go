package report_test

import (
	"fmt"

	"fourmarks.example/lint/report"
)

func ExampleInert() {
	fmt.Println(report.Inert("52 ABDC\x1b[2J\nerror: \u202egone"))
	// Output: 52 ABDC\u{1B}[2J\u{A}error: \u{202E}gone
}
