package main

import (
	"bytes"
	"os"
	"strings"

	"treewhen/phenology"
)

// rewrite replaces the dating of phases in a profile: "" takes it away, "-" leaves it as it is.
func rewrite(path string, blocks map[phenology.Phase]string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	changed := replaceDatings(string(data), blocks)
	if bytes.Equal(data, []byte(changed)) {
		return nil
	}
	return os.WriteFile(path, []byte(changed), 0o644)
}

// replaceDatings works on the lines, so that comments and the writer's layout stay: a phase is indented by two spaces
// under "phases:", its dating by four.
func replaceDatings(text string, blocks map[phenology.Phase]string) string {
	var out strings.Builder
	inPhases, skipping := false, false
	phase := "" // the one being copied whose dating is replaced
	var held strings.Builder
	names := map[string]string{}
	for p, block := range blocks {
		if block != "-" {
			names[p.String()] = block
		}
	}
	flush := func() {
		if phase != "" {
			// The new dating goes before the blank lines that end the phase.
			body := held.String()
			trimmed := strings.TrimRight(body, "\n") + "\n"
			out.WriteString(trimmed + names[phase] + body[len(trimmed):])
			held.Reset()
			phase = ""
		}
	}
	for line := range strings.Lines(text) {
		indent := len(line) - len(strings.TrimLeft(line, " "))
		key, _, _ := strings.Cut(strings.TrimSpace(line), ":")
		blank := strings.TrimSpace(line) == ""
		if !blank && indent == 0 {
			flush()
			inPhases, skipping = key == "phases", false
		}
		if inPhases && !blank && indent == 2 {
			flush()
			skipping = false
			if _, ok := names[key]; ok {
				phase = key
			}
		}
		if phase != "" && !blank && indent == 4 {
			skipping = key == "dating"
		}
		switch {
		case skipping && !blank:
		case phase != "":
			held.WriteString(line)
		default:
			out.WriteString(line)
		}
	}
	flush()
	return out.String()
}
