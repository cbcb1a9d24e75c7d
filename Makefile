# Noonkeep. `make demo` and `make test` do all the set-up themselves.

GO     ?= go
DEMO   := bin/demo
FUZZ   ?= 30s
BENCH  ?= .

.PHONY: demo build test lint bench fuzz setup setup-test clean

demo: build
	@bin/noonkeep curve dyehouse --out $(DEMO)
	@bin/noonkeep schedule dyehouse --volume 40 --out $(DEMO)

build: setup
	@mkdir -p bin
	@$(GO) build -o bin/noonkeep ./cmd/noonkeep

test: setup-test build lint
	$(GO) test -race ./...

lint:
	@test -z "$$(gofmt -l .)" || { echo "not gofmt'ed:"; gofmt -l .; exit 1; }
	$(GO) vet ./...
	$(GO) tool staticcheck ./...

bench: setup
	$(GO) test -run '^$$' -bench '$(BENCH)' -benchmem ./...

# Each fuzz target in turn, for FUZZ each.
fuzz: setup
	@for p in $$($(GO) list ./...); do \
	  for f in $$($(GO) test -list '^Fuzz' $$p | grep '^Fuzz' || true); do \
	    echo "== $$p $$f"; $(GO) test -run '^$$' -fuzz "^$$f\$$" -fuzztime $(FUZZ) -fuzzminimizetime 20x $$p || exit 1; \
	  done; \
	done

setup:
	@.ci/setup

setup-test:
	@.ci/setup test

clean:
	rm -rf bin
