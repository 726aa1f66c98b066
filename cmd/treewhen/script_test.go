package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write golden files anew; read them before you keep them")

func TestMain(m *testing.M) {
	debug.SetGCPercent(400) // runs are short: a fifth of their time went into memory that they have to spare
	// No test asks the world: whoever tries to is refused at once by a proxy that is not there. The servers of tests
	// are on this machine, which takes no proxy.
	for _, name := range []string{"HTTPS_PROXY", "https_proxy", "HTTP_PROXY", "http_proxy"} {
		os.Setenv(name, "http://127.0.0.1:9")
	}
	testscript.Main(m, map[string]func(){"treewhen": main})
}

// Each script in testdata/script tells a story of the command line. Besides the usual commands there are:
//
//	exitcode N COMMAND [ARG...]   the command must end with this status; its output is kept as after exec
//	root                          $ROOT is the project's root folder
func TestScripts(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           filepath.Join(root, "testdata", "script"),
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			env.Setenv("ROOT", root)
			env.Setenv("HTTPS_PROXY", "http://127.0.0.1:9")
			env.Setenv("DATA", filepath.Join(root, "..", "shared", "data"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exitcode": exitCode},
		Condition: func(cond string) (bool, error) {
			if cond == "data" {
				_, err := os.Stat(filepath.Join(root, "..", "shared", "data"))
				return err == nil, nil
			}
			return false, fmt.Errorf("unknown condition %q", cond)
		},
	})
}

// exitCode runs a command that must end with a given status: "! exec" cannot tell 1 from 2.
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exitcode N COMMAND [ARG...]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	if exit, ok := err.(*exec.ExitError); ok {
		got = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}
