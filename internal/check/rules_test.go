package check

// Rules lists the rules for the tests of the package as others see it.
var Rules = rules
