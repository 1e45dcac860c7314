// Package browser opens pages in a real browser, Debian's chromium, and
// measures what a reader would see: for tests only.
//
// A machine without a browser skips these tests and says so; with CI=true in the
// environment that is a failure, because there they must run.
package browser

import (
	"context"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// names are what the program is called where it is installed.
var names = []string{"chromium", "chromium-browser", "google-chrome"}

// patience bounds everything that is done with one page.
const patience = 2 * time.Minute

// Browser is a running browser.
type Browser struct{ ctx context.Context }

// Start starts a browser that ends with the test. Where none is installed the
// test is skipped, in CI it fails.
func Start(t testing.TB) *Browser {
	t.Helper()
	program := find()
	if program == "" {
		if os.Getenv("CI") == "true" {
			t.Fatalf("no browser is installed (looked for %v): CI must run this test; .ci/run installs one", names)
		}
		t.Skipf("no browser is installed (looked for %v): what a reader sees of the pages is not tested", names)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(program),
		chromedp.WSURLReadTimeout(patience),
	)
	if os.Geteuid() == 0 { // its sandbox refuses to run as root
		options = append(options, chromedp.NoSandbox)
	}
	allocated, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(allocated)
	t.Cleanup(end)
	require.NoError(t, chromedp.Do(ctx), "the browser %s does not start", program)
	return &Browser{ctx}
}

func find() string {
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}
