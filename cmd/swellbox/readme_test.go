package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"swellbox/cmd/swellbox/program"
)

// What README has typed is a command that is there, with flags that it has.
func TestReadmeCommands(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	p := &program.Program{}
	n := 0
	for _, m := range regexp.MustCompile("(?m)(?:`|^ *(?:\\$ )?)\\.?/?swellbox ([a-z-][^`\n]*)").FindAllStringSubmatch(string(text), -1) {
		line, _, _ := strings.Cut(m[1], "  #")
		words := strings.Fields(strings.NewReplacer("[", " ", "]", " ", "\\", "").Replace(line))
		if strings.HasPrefix(m[0], "swellbox ") && !strings.Contains(m[0], "--") && !strings.HasPrefix(line, "profile") {
			continue // the name at the start of a line of prose
		}
		n++
		c, _, err := rootCommand(p).Find(words)
		if err != nil || c == c.Root() && !strings.HasPrefix(line, "-") {
			t.Errorf("swellbox %s: there is no such command (%v)", line, err)
			continue
		}
		for _, w := range words {
			flag, ok := strings.CutPrefix(w, "--")
			if flag, _, _ = strings.Cut(flag, "="); ok && flag != "help" && c.Flag(flag) == nil && c.InheritedFlags().Lookup(flag) == nil {
				t.Errorf("swellbox %s: it has no flag --%s", line, flag)
			}
		}
	}
	if n < 30 {
		t.Errorf("only %d commands were found", n)
	}
}

// Who reads the page learns of every command.
func TestReadmeNamesEveryCommand(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range rootCommand(&program.Program{}).Commands() {
		if !c.Hidden && !strings.Contains(string(text), "swellbox "+c.Name()) {
			t.Errorf("README.md does not say what swellbox %s is for", c.Name())
		}
	}
}
