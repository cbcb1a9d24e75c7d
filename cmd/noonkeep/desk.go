package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/desk"
	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

// newDesk is the one command that stays until it is ended: to be interrupted is how it ends well.
func newDesk(s streams) *cobra.Command {
	var opt desk.Options
	var quiet bool
	cmd := &cobra.Command{
		Use:     "desk [SCENARIO]",
		GroupID: "answer",
		Short:   "Turn the plant's knobs on a page in the browser",
		Long: `Serve a page in the browser on which a scenario's knobs are turned, its shifts are painted and the
curve follows. SCENARIO is a file; without one the page lists those of the folder. It saves the
same files that the other commands read, and reads and writes nothing outside their folder.
No other machine reaches it, unless --listen is given. Ctrl-C ends it, with exit status 0.

` + statuses,
		Example: `  noonkeep desk my.yaml
  noonkeep desk --dir plants --port 8080 --no-open`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(s.may.folders) > 0 {
				return errors.New("desk: --reads is not for the desk: it reads nothing outside its folder; put weather and series there")
			}
			if err := deskListen(opt.Listen, opt.Port); err != nil {
				return err
			}
			if len(args) == 1 {
				var err error
				if opt.Dir, opt.File, err = deskFile(args[0], opt.Dir); err != nil {
					return err
				}
			}
			return deskServe(cmd.Context(), s, opt, quiet || !terminal(s.out))
		},
	}
	set := cmd.Flags()
	set.StringVar(&opt.Dir, "dir", "", "the `folder` of scenario files (default: the scenario's, else the current one)")
	set.IntVar(&opt.Port, "port", 0, "the `number` of the port; 0 takes a free one")
	set.StringVar(&opt.Listen, "listen", "127.0.0.1", "the `address` to be reached at; any but this machine's own lets others in")
	set.BoolVar(&quiet, "no-open", false, "open no browser")
	return cmd
}

func deskServe(ctx context.Context, s streams, opt desk.Options, quiet bool) error {
	d, err := desk.New(opt)
	if err != nil {
		return err
	}
	warning := report.Plain(s.err)
	if !loopback(opt.Listen) {
		fmt.Fprintf(warning, "noonkeep: warning: the desk listens on %s, not on this machine alone: whoever reaches it over the network and learns\n"+
			"noonkeep: the address that it prints can read, change and save the scenarios of its folder. What is sent can be read on the way.\n", opt.Listen)
	}
	if _, err := fmt.Fprintf(report.Plain(s.out), "The desk is at %s (Ctrl-C ends it)\n", d.Address()); err != nil {
		return written(err)
	}
	if !quiet {
		if err := openBrowser(d.Address()); err != nil {
			fmt.Fprintf(warning, "noonkeep: no browser could be opened (%v); open the address in one yourself\n", err)
		}
	}
	return written(d.Serve(ctx))
}

func deskListen(host string, port int) error {
	switch _, _, err := net.SplitHostPort(host); {
	case host == "" || err == nil:
		return fmt.Errorf("desk: --listen is %q; want an address alone, as 127.0.0.1; the port goes to --port", host)
	case port < 0 || port > 65535:
		return fmt.Errorf("desk: --port is %d; want 1 to 65535, or 0 for a free one", port)
	}
	return nil
}

// loopback tells whether an address is reached from this machine alone.
func loopback(host string) bool {
	ip := net.ParseIP(strings.Trim(host, "[]"))
	return strings.EqualFold(host, "localhost") || ip != nil && ip.IsLoopback()
}

// deskFile is the folder and the bare name of a scenario, which must lie in dir if one is given.
func deskFile(name, dir string) (folder, file string, err error) {
	switch {
	case name == "-":
		return "", "", errors.New("desk: it works on files, not on standard input; want a file's name")
	case slices.ContainsFunc(scenarios.Starters(), func(s scenarios.Starter) bool { return s.Name == name }):
		return "", "", fmt.Errorf("desk: %s is a built-in example, and the desk works on files; run noonkeep starter %s > my.yaml first, "+
			"or start the desk without it and begin from it on the folder's page", name, name)
	}
	if dir != "" && filepath.Base(name) == name {
		if _, err := os.Stat(name); err != nil {
			name = filepath.Join(dir, name)
		}
	}
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return "", "", fmt.Errorf("%s: there is no such file", name)
	case err != nil:
		return "", "", err
	case info.IsDir():
		return "", "", fmt.Errorf("%s: is a folder; want a scenario file, or noonkeep desk --dir %s", name, name)
	case dir == "":
		return filepath.Dir(name), filepath.Base(name), nil
	}
	own, err := os.Stat(filepath.Dir(name))
	given, err2 := os.Stat(dir)
	if err := errors.Join(err, err2); err != nil {
		return "", "", err
	}
	if !os.SameFile(own, given) {
		return "", "", fmt.Errorf("%s: does not lie in %s; leave --dir out, or give a file of that folder", name, dir)
	}
	return dir, filepath.Base(name), nil
}

// openBrowser has the system open an address, and does not wait for it.
func openBrowser(address string) error {
	words := []string{"xdg-open", address}
	switch runtime.GOOS {
	case "darwin":
		words[0] = "open"
	case "windows":
		words = []string{"rundll32", "url.dll,FileProtocolHandler", address}
	}
	cmd := exec.Command(words[0], words[1:]...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go cmd.Wait()
	return nil
}
