package check

// Rules lists for the tests of the package as others see it what problems name and
// what the page of rules must say of it.
func Rules() (names, what []string) {
	for _, r := range rules() {
		names, what = append(names, r.name), append(what, r.what)
	}
	return names, what
}
