package desk

import (
	"os/exec"
	"testing"
)

// What the page's script reckons by itself is checked by node's own test runner. What it does to the page, Chromium checks in
// cmd/noonkeep.
func TestDeskScript(t *testing.T) {
	t.Parallel()
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("no node on this machine: what the page's script reckons is not checked")
	}
	out, err := exec.Command(node, "--test", "page/desk_test.mjs").CombinedOutput()
	if err != nil {
		t.Errorf("node --test: %v\n%s", err, out)
	}
}
