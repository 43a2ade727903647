# The two commands that do everything: make demo, make test.
GO ?= go

.PHONY: demo test tools bench golden fuzz build clean

demo: build ## print every packet of the demo week into out/
	bin/jobsheaf make --site samples/soapworks --list week-49 --out out

build:
	$(GO) build -trimpath -o bin/jobsheaf ./cmd/jobsheaf

# The rooms that share work between goroutines; week runs all that is below it.
CONCURRENT = ./internal/week ./internal/pdf ./internal/formula

test: tools ## everything that is held to be true, with outside programs as judges
	test -z "$$(gofmt -l cmd fonts internal samples templates testdata)"
	$(GO) vet ./... ./testdata/bench/...
	$(GO) test -timeout 40m ./...
	$(GO) test -race -timeout 40m $(CONCURRENT)

tools:
	testdata/install-tools

SIZES ?= 100,300,1000

bench: build ## whole runs and parts, beside other ways of making the same pages
	$(GO) run ./testdata/bench run -bin bin/jobsheaf -sizes $(SIZES)

golden: ## renew what tests keep in files; read the diff before committing it
	$(GO) test ./internal/cli -run 'Script|Golden' -args -update
	$(GO) test ./internal/compose ./internal/formula ./internal/procedure ./internal/record -args -update
	git diff --stat -- testdata internal

fuzz: ## half a minute for each fuzz target
	for p in $$($(GO) list ./internal/...); do \
	  for f in $$($(GO) test -list '^Fuzz' $$p | grep '^Fuzz'); do \
	    $(GO) test -run '^$$' -fuzz "^$$f$$" -fuzztime 30s $$p || exit 1; done; done

clean:
	rm -rf bin out
