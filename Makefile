# Noonkeep. `make demo` installs nothing; `make test` installs what the tests need and the machine lacks.

GO     ?= go
DEMO   := bin/demo
FUZZ   ?= 30s
BENCH  ?= .

SYSTEMS := linux/amd64 linux/arm64 darwin/amd64 darwin/arm64 windows/amd64 windows/arm64

.PHONY: demo build test lint bench fuzz soak cross setup clean

demo: build
	@bin/noonkeep curve dyehouse --out $(DEMO)
	@bin/noonkeep schedule dyehouse --volume 40 --out $(DEMO)

# With Clp where a C compiler and Clp are there; else without, and it says so.
build:
	@mkdir -p bin
	@cgo=$$(.ci/setup cgo) && CGO_ENABLED=$$cgo $(GO) build -o bin/noonkeep ./cmd/noonkeep

# Whole programs, whole years and what takes long in one goroutine run in the second pass alone: the race detector makes
# them ten times slower.
test: setup build lint
	$(GO) test -race -timeout 14m ./...
	$(GO) test -timeout 14m ./...
	GO=$(GO) .ci/fuzz 3s

lint:
	@test -z "$$(gofmt -l .)" || { echo "not gofmt'ed:"; gofmt -l .; exit 1; }
	$(GO) vet ./...
	$(GO) tool staticcheck ./...

# The program without Clp for each system, into bin/cross; those that can be run here must give what this one gives.
cross:
	@for s in $(SYSTEMS); do \
	  dir=bin/cross/$$(echo $$s | tr / -); mkdir -p $$dir; echo "cross: $$s"; \
	  CGO_ENABLED=0 GOOS=$${s%/*} GOARCH=$${s#*/} $(GO) build -trimpath -o $$dir/ ./cmd/noonkeep || exit 1; \
	done
	$(GO) test ./cmd/noonkeep -run SameOnOtherSystems -systems $(CURDIR)/bin/cross

bench: setup
	$(GO) test -run '^$$' -bench '$(BENCH)' -benchmem ./...

# Many random plants by both engines, then each fuzz target for FUZZ, as many at a time as there are processors.
fuzz: setup
	$(GO) test ./optimize -run TwoEngines -onestore 20000
	KEEP=1 GO=$(GO) .ci/fuzz $(FUZZ)

# A large study of which everything is killed and cut for half an hour, at times that SEED chooses.
SEED ?= 1
soak: setup
	$(GO) test ./cmd/noonkeep -run StudySurvives -v -timeout 3h -study-cases 3000 -study-seed $(SEED)

setup:
	@.ci/setup test

clean:
	rm -rf bin
