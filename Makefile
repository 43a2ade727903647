# The two commands that do everything: make demo, make test.
GO ?= go

.PHONY: demo test tools bench golden fuzz build release clean

demo: build ## print every packet of the demo week into out/
	bin/jobsheaf make --site samples/soapworks --list week-49 --out out --no-register

build:
	$(GO) build -trimpath -o bin/jobsheaf ./cmd/jobsheaf

# What releases are made for, besides the machine at hand. See cmd/release.
TARGETS = windows/amd64 darwin/arm64 linux/arm64 linux/amd64

# The rooms that share work between goroutines; week runs all that is below it.
CONCURRENT = ./internal/week ./internal/printjob ./internal/pdf ./internal/formula ./internal/compute ./internal/scan/sheets

test: tools ## everything that is held to be true, with outside programs as judges
	test -z "$$(gofmt -l cmd fonts internal samples templates testdata)"
	$(GO) vet ./... ./testdata/bench/... ./testdata/scribble/...
	for t in $(TARGETS); do echo "build and vet for $$t"; \
	  export CGO_ENABLED=0 GOOS=$${t%/*} GOARCH=$${t#*/}; \
	  $(GO) build -trimpath -o /dev/null ./cmd/jobsheaf && $(GO) vet ./... || exit 1; done
	$(GO) test -timeout 40m ./... ./testdata/scribble/...
	$(GO) test -race -timeout 40m $(CONCURRENT)

release: ## archives for every target in dist/, with checksums
	$(GO) run ./cmd/release -targets "$(TARGETS)" -out dist

tools:
	testdata/install-tools

SIZES ?= 100,300,1000

bench: build ## whole runs and parts, beside other ways of making the same pages
	$(GO) run ./testdata/bench run -bin bin/jobsheaf -sizes $(SIZES)
	$(GO) run ./testdata/bench read -bin bin/jobsheaf

golden: ## renew what tests keep in files; read the diff before committing it
	$(GO) test ./internal/cli -run 'Script|Golden' -args -update
	$(GO) test ./internal/compose ./internal/compute ./internal/formula ./internal/procedure ./internal/record -args -update
	git diff --stat -- testdata internal

fuzz: ## half a minute for each fuzz target
	for p in $$($(GO) list ./internal/...); do \
	  for f in $$($(GO) test -list '^Fuzz' $$p | grep '^Fuzz'); do \
	    $(GO) test -run '^$$' -fuzz "^$$f$$" -fuzztime 30s $$p || exit 1; done; done

clean:
	rm -rf bin out dist
