# What this project can do from the command line. "make" lists it.

GO         ?= go
FUZZTIME   ?= 30s
SOAKTIME   ?= 10m
BENCH      ?= .
TESTFLAGS  ?=

STATICCHECK := honnef.co/go/tools/cmd/staticcheck@v0.8.2
GOVULNCHECK := golang.org/x/vuln/cmd/govulncheck@v1.9.0
SCRIPTS     := .ci/* proxy/ports/seqtest/*.sh testdata/vm/*.sh

# Where git refuses the checkout, which may belong to another user, go build must not ask it for the version.
ifneq ($(shell git status >/dev/null 2>&1 && echo yes),yes)
export GOFLAGS += -buildvcs=false
endif
export GO

.DEFAULT_GOAL := help
.PHONY: help demo build test lint lintgo lintshell compiled race bench soak fuzz cross wine release deps evidence players lines follow readers fit picture clean

help: ## list the targets
	@awk -F ': .*## ' '/^[a-z]+:.* ## / { printf "  make %-8s %s\n", $$1, $$2 }' Makefile

demo: build ## shape the built-in score: MIDI, audio and a picture in ./demo
	@./swellbox demo

build: ## build ./swellbox, without MIDI ports where their headers cannot be had
	@.ci/build

test: ## everything: format, lint, known vulnerabilities, tests with -race, a real sequencer
	@.ci/test $(TESTFLAGS)

lint: lintgo lintshell ## gofmt, go vet, staticcheck, govulncheck, shellcheck

lintgo:
	@echo "== gofmt"
	@unformatted=$$(gofmt -l .) && test -z "$$unformatted" || { echo "run gofmt -w on: $$unformatted"; exit 1; }
	@echo "== go vet"
	@$(GO) vet ./...
	@echo "== staticcheck"
	@$(GO) run $(STATICCHECK) ./...
	@echo "== govulncheck"
	@.ci/vulncheck $(GOVULNCHECK)

lintshell:
	@echo "== shellcheck"
	@shellcheck $(SCRIPTS)

# Compiled as the race detector wants it, so that it is there when the tests start.
compiled:
	@$(GO) build -race ./...

race: ## the tests of all packages with the race detector (TESTFLAGS=-v names each)
	@echo "== go test -race"
	@.ci/gotest $(TESTFLAGS)

bench: ## benchmarks with allocations (BENCH=regexp chooses)
	@$(GO) test -run '^$$' -bench '$(BENCH)' -benchmem ./...

soak: ## the long tests, TestSoak…, with -race (SOAKTIME=10m)
	@.ci/soak $(SOAKTIME)

fuzz: ## every fuzz target for FUZZTIME=30s
	@.ci/fuzz $(FUZZTIME)

cross: ## build for Windows, macOS and Linux on arm64, into ./build
	@.ci/cross

wine: ## run the Windows program under wine, beside the one of this machine
	@.ci/wine

release: ## archives to publish, into ./build/release (RELEASEFLAGS="-key FILE" signs their checksums)
	@.ci/deps cross
	@$(GO) run ./cmd/release $(RELEASEFLAGS)

deps: ## install what building and testing takes (Debian, Ubuntu), or say what to install
	@.ci/deps test
	@echo "deps: all there"

evidence: ## measure anew what the documents claim, into testdata/evidence
	@$(GO) test ./proxy/study/evidence -update
	@cat testdata/evidence/*.md

players: ## hold the engine against real players: DATA=FOLDER of alignments (FLAGS=-habits: habit by habit)
	@$(GO) run ./cmd/players $(FLAGS) "$(DATA)"

lines: ## hold the balance report against movements whose main line is known: DATA=FOLDER (FLAGS=-faults 4)
	@$(GO) run ./cmd/lines $(FLAGS) "$(DATA)"

follow: ## measure how soon live music is found in a score: DATA=FOLDER of scores (FLAGS=-players: by players, -beats: the beat by ear)
	@$(GO) run ./cmd/follow $(FLAGS) "$(DATA)"

readers: ## hold what is read of scores against another reader, a library of npm: DATA=FOLDER of scores
	@$(GO) run ./cmd/readers $(FLAGS) "$(DATA)"

fit: ## fit the habits to real players: DATA=FOLDER of alignments (FLAGS=-write writes the tables)
	@$(GO) run ./cmd/fit $(FLAGS) "$(DATA)"

picture: build ## draw the picture of the README anew
	@mkdir -p testdata/readme
	@./swellbox demo --out build/picture --part "Flute 1" --part "Horns 1, 2" --part "Trumpet 1" --part "Trombone 1" --part "Violins I" --part Cellos >/dev/null
	@cp build/picture/before-after.svg testdata/readme/

clean: ## remove what the other targets made
	rm -rf build demo swellbox swellbox.exe
